// Names and roles that a screen reader needs and that the controls come without.
import { AROUND } from "./around.js";
import { makeGrid } from "./grid.js";
import { keepRoom } from "./steady.js";

const CONTROL = ".widget-slider, .widget-radio, .widget-toggle-buttons";
// Pictures and texts are replaced while a slider moves; nothing in them needs a name.
const PASS_BY = ".widget-html-content, .cm-editor";

let count = 0;

function idOf(element) {
  if (!element.id) element.id = `packlearn-${++count}`;
  return element.id;
}

// The id of a control's label; none where the label is empty.
function labelOf(element) {
  const label = element.closest(CONTROL)?.querySelector(":scope > .widget-label");
  return label?.textContent.trim() ? label : null;
}

function fill(text, label) {
  return (text ?? "{label}").replace("{label}", label.textContent.trim());
}

// By reference, so that the name follows when the label changes.
function nameByLabel(element) {
  const label = labelOf(element);
  if (label) element.setAttribute("aria-labelledby", idOf(label));
}

function nameHandles(slider, words) {
  const handles = slider.querySelectorAll(".noUi-handle");
  const label = labelOf(slider);
  if (handles.length === 1) nameByLabel(handles[0]);
  else if (label) {
    handles.forEach((handle, at) => {
      handle.setAttribute("aria-label", fill(at ? words.upper : words.lower, label));
    });
  }
}

function nameReadout(readout, words) {
  const label = labelOf(readout);
  readout.setAttribute("role", readout.isContentEditable ? "textbox" : "note");
  if (label) readout.setAttribute("aria-label", fill(words.value_of, label));
}

function groupRadios(box) {
  box.setAttribute("role", "radiogroup");
  nameByLabel(box);
  // One common name makes them one group: one Tab stop, arrows move within.
  const name = idOf(box);
  box.querySelectorAll("input[type=radio]").forEach((radio) => {
    radio.name = name;
  });
}

function tellPressed(group) {
  group.querySelectorAll(".widget-toggle-button").forEach((button) => {
    const pressed = String(button.classList.contains("mod-active"));
    if (button.getAttribute("aria-pressed") !== pressed) {
      button.setAttribute("aria-pressed", pressed);
    }
  });
}

function groupToggles(group) {
  tellPressed(group);
  if (group.getAttribute("role") === "group") return;
  group.setAttribute("role", "group");
  nameByLabel(group);
  const watch = new MutationObserver(() => tellPressed(group));
  watch.observe(group, { attributes: true, attributeFilter: ["class"], subtree: true });
}

function makeLive(content) {
  content.setAttribute("role", "status");
  content.setAttribute("aria-live", "polite");
}

const RULES = [
  [".widget-slider .noUi-target", nameHandles],
  [".widget-slider .widget-readout", nameReadout],
  [".widget-radio-box", groupRadios],
  [".widget-toggle-buttons > div", groupToggles],
  [".packlearn-status .widget-html-content", makeLive],
  [".packlearn-grid", (grid) => makeGrid(grid, idOf)],
  [".packlearn-beneath", keepRoom],
  ['[title="null"]', (element) => element.removeAttribute("title")],
  ...AROUND,
];

function nameAll(root, words) {
  for (const [selector, rule] of RULES) {
    root.querySelectorAll(selector).forEach((element) => rule(element, words));
  }
}

export function nameControls(words) {
  const waiting = new Set();

  function work() {
    for (const root of waiting) if (root.isConnected) nameAll(root, words);
    waiting.clear();
  }

  function onChange(records) {
    for (const { target, addedNodes } of records) {
      if (!addedNodes.length || target.closest(PASS_BY)) continue;
      if (!waiting.size) requestAnimationFrame(work);
      waiting.add(target.closest(CONTROL) ?? target);
    }
  }

  new MutationObserver(onChange).observe(document.body, { childList: true, subtree: true });
  nameAll(document.body, words);
}
