// Classes for what stands around a panel's parts. A style sheet that looks into the page for it
// (:has) makes the browser look again, and style half the page anew, at every move of a slider.
const WIDE = ".packlearn-beside, .packlearn-bench, .packlearn-class-sides, .packlearn-page";
const OUTPUTS = ".jp-OutputArea, .jp-OutputArea-child, .jp-OutputArea-output";

function markOutputs(page) {
  let box = page.parentElement?.closest(OUTPUTS);
  while (box) {
    box.classList.add("packlearn-around-page");
    box = box.parentElement.closest(OUTPUTS);
  }
}

// The panel around, or the part itself where it is a panel.
function markPanel(part) {
  part.closest(".packlearn-panel")?.classList.add("packlearn-wide");
}

const covering = new WeakSet();

// The shared screen covers the window as long as its notebook is the one in view.
function coverWindow(projector) {
  const panel = projector.closest(".jp-NotebookPanel");
  const main = document.getElementById("main");
  if (!panel || !main || covering.has(projector)) return;
  const watch = new MutationObserver(tell);
  function tell() {
    const there = projector.isConnected;
    main.classList.toggle("packlearn-covered", there && !panel.classList.contains("lm-mod-hidden"));
    if (there) return;
    watch.disconnect();
    covering.delete(projector);
  }
  covering.add(projector);
  const inside = { childList: true, subtree: true };
  watch.observe(panel, { ...inside, attributes: true, attributeFilter: ["class"] });
  watch.observe(panel.parentElement, { childList: true });
  tell();
}

export const AROUND = [
  [WIDE, markPanel],
  [".packlearn-page", markOutputs],
  [".packlearn-projector", coverWindow],
];
