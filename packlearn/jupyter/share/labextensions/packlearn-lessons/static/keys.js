// Keys pressed in a control stay there: by default "x" on a slider cuts the whole cell.
// What a cell has made: controls, but also a text that unfolds, or a link.
const CONTROLS = ".jp-OutputArea, .jupyter-widgets";
const SUPPRESS = "data-lm-suppress-shortcuts";
const TOGGLE = ".widget-toggle-button";
const STEPS = { ArrowLeft: -1, ArrowUp: -1, ArrowRight: 1, ArrowDown: 1 };
// Saving and searching are the same everywhere on the page.
const LET_THROUGH = new Set(["s", "f"]);

function isForPage(event) {
  return (event.ctrlKey || event.metaKey) && LET_THROUGH.has(event.key.toLowerCase());
}

// Escape leaves the control; Tab from there comes back to it.
function leave(control) {
  const cell = control.closest(".jp-Cell");
  if (cell) cell.focus();
  else control.blur();
}

function step(button, by) {
  const all = [...button.parentElement.querySelectorAll(`${TOGGLE}:not(:disabled)`)];
  const next = all[(all.indexOf(button) + by + all.length) % all.length];
  next.focus();
  next.click();
}

function onKey(event) {
  const control = event.target;
  if (!(control instanceof Element) || !control.closest(CONTROLS)) return;
  // JupyterLab looks for this on the focused element itself before it looks for shortcuts.
  if (isForPage(event)) control.removeAttribute(SUPPRESS);
  else control.setAttribute(SUPPRESS, "true");
  if (event.key === "Escape") leave(control);
  if (event.key in STEPS && control.matches(TOGGLE)) {
    event.preventDefault();
    step(control, STEPS[event.key]);
  }
}

export function keepKeys() {
  // On the window, so that it comes before JupyterLab's own listener on the document.
  window.addEventListener("keydown", onKey, true);
}
