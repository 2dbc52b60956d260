// A control that vanishes when it was pressed would leave the keyboard nowhere.
const PANEL = ".packlearn-panel";
const CONTROL = "button, input, select, .noUi-handle, summary";
const BOX = "input[type=text]";
const ENTRY = ".packlearn-entry";
// What comes in place of something else is read from its first line on.
const OPENS = ".packlearn-opens";
// The kernel answers within some of these; the last ones are for a busy one.
const LOOK_MS = [80, 250, 600, 1500, 4000, 10000];

let last = null;

function usable(control) {
  return control.isConnected && control.offsetParent !== null && !control.disabled;
}

function controls(panel) {
  return [...panel.querySelectorAll(CONTROL)].filter(usable);
}

function opened(panel, before) {
  return [...panel.querySelectorAll(OPENS)].find((line) => usable(line) && !before.includes(line));
}

// Where to go on: what has just opened, the box for a new answer, else what comes next, else the first there is.
function next(panel, from, before) {
  const all = controls(panel);
  const first = opened(panel, before);
  if (first) {
    first.tabIndex = -1;
    return first;
  }
  // After a lock the answer stands there to be read; a held key must press nothing more.
  const answer = panel.querySelector(".packlearn-feedback");
  if (answer && from.closest(ENTRY) && !usable(from)) {
    answer.tabIndex = -1;
    return answer;
  }
  const follows = (control) =>
    from.isConnected && from.compareDocumentPosition(control) & Node.DOCUMENT_POSITION_FOLLOWING;
  return all.find((control) => control.matches(BOX)) ?? all.find(follows) ?? all[0];
}

function look() {
  const here = document.activeElement;
  const lost = here === document.body || !here || here.classList.contains("jp-Notebook");
  const moved = here && !lost && here !== last?.control;
  if (!last || moved || usable(last.control) || !last.panel.isConnected) return;
  const target = next(last.panel, last.control, last.before);
  if (!target) return;
  target.focus();
  // From here on only this one's vanishing counts: who leaves it on purpose is not fetched back.
  last = { ...last, control: target };
}

function remember(event) {
  const control = event.target instanceof Element ? event.target.closest(CONTROL) : null;
  const panel = control?.closest(PANEL);
  last = panel ? { control, panel, before: [...panel.querySelectorAll(OPENS)] } : null;
  if (panel) LOOK_MS.forEach((ms) => setTimeout(look, ms));
}

function enterInBox(event) {
  const box = event.target;
  if (event.key !== "Enter" || !(box instanceof Element) || !box.matches(`${ENTRY} ${BOX}`)) return;
  // After the box has handed over its text.
  setTimeout(() => box.closest(ENTRY).querySelector(".widget-toggle-button")?.focus(), 0);
}

export function keepFocus() {
  window.addEventListener("click", remember, true);
  window.addEventListener("keydown", enterInBox, true);
}
