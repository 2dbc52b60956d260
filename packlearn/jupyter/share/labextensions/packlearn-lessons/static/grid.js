// Small buttons in the arrangement of a holder: one Tab stop, arrows move among them, and the
// chosen ones say so.
const GRID = ".packlearn-grid";
const NAME = ".packlearn-grid-name .widget-html-content";
const CHOSEN = "packlearn-chosen";
// How far beside a contact a press still means it [px].
const REACH = 20;
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

function buttons(grid) {
  return [...grid.querySelectorAll("button")];
}

function middle(button) {
  const { left, top, width, height } = button.getBoundingClientRect();
  return [left + width / 2, top + height / 2];
}

// The nearest button that way; what lies aside counts double, so that rows and columns are kept.
function next(grid, from, [right, down]) {
  const [x, y] = middle(from);
  let best = null;
  let least = Infinity;
  for (const button of buttons(grid)) {
    const [dx, dy] = [middle(button)[0] - x, middle(button)[1] - y];
    const ahead = dx * right + dy * down;
    const far = ahead + 2 * Math.abs(dx * down + dy * right);
    if (ahead > 1 && far < least) [best, least] = [button, far];
  }
  return best;
}

function onKey(event) {
  const way = WAYS[event.key];
  if (!way || !event.target.matches?.("button")) return;
  event.preventDefault();
  next(event.currentTarget, event.target, way)?.focus();
}

function oneStop(event) {
  if (!event.target.matches?.("button")) return;
  for (const button of buttons(event.currentTarget)) {
    button.tabIndex = button === event.target ? 0 : -1;
  }
}

function tellChosen(grid) {
  for (const button of buttons(grid)) {
    const pressed = String(button.classList.contains(CHOSEN));
    if (button.getAttribute("aria-pressed") !== pressed) {
      button.setAttribute("aria-pressed", pressed);
    }
  }
}

// The contact whose drawing lies nearest: a wire is thin, and a cell's symbol has none of its own.
function nearest({ target, clientX, clientY }) {
  const on = target.closest?.("[data-contact]");
  if (on) return on;
  let best = null;
  let least = REACH;
  for (const place of target.closest?.(".packlearn-bench svg")?.querySelectorAll("[data-contact]") ?? []) {
    const { left, right, top, bottom } = place.getBoundingClientRect();
    const aside = Math.max(left - clientX, 0, clientX - right);
    const far = Math.hypot(aside, Math.max(top - clientY, 0, clientY - bottom));
    if (far < least) [best, least] = [place, far];
  }
  return best;
}

// A press on a contact in a picture, or close by, is a press on its button.
function onPicture(event) {
  const place = nearest(event);
  const grid = place?.closest(".packlearn-bench")?.querySelector(GRID);
  if (!grid) return;
  const name = place.dataset.contact;
  // On a button the end of a cell carries a minus sign.
  const nameOf = (button) => button.textContent.trim().replace("\u2212", "-");
  const named = (text) => buttons(grid).find((button) => nameOf(button) === text);
  // Where cells are pointed at, either end of a cell stands for it.
  (named(name) ?? named(name.slice(0, -1)))?.click();
}

export function pressInPictures() {
  window.addEventListener("click", onPicture);
}

export function makeGrid(grid, idOf) {
  tellChosen(grid);
  if (grid.getAttribute("role") === "group") return;
  grid.setAttribute("role", "group");
  const name = grid.querySelector(NAME);
  if (name) grid.setAttribute("aria-labelledby", idOf(name));
  grid.addEventListener("keydown", onKey);
  grid.addEventListener("focusin", oneStop);
  const watch = new MutationObserver(() => tellChosen(grid));
  watch.observe(grid, { attributes: true, attributeFilter: ["class"], childList: true, subtree: true });
}
