// A number and its unit stay on one line: the space between them is one that does not break.
// It is done to what stands on the page, so that stored outputs, answers and files keep the
// plain space. A copied "4.8 V" is read the same with either.
const READ_IN = ".jp-OutputArea-output, .jp-RenderedMarkdown";
// Pictures break no lines; code is there to be copied; what is typed is the learner's.
const PASS_BY =
  ".jp-RenderedMarkdown :is(code, pre), svg, input, select, textarea, style, [contenteditable=true]";
const UNITS = [
  "mV V kV µA mA A kA mAh Ah µW mW W kW mWh Wh kWh mohm ohm kohm Mohm Ω mΩ",
  "ms s min h d % mm² mm2 mm cm m km mg g kg degC °C N",
].join(" ").split(" ");
// No letter or digit follows: "5 A" is a current, "5 AA cells" is none.
const BETWEEN = new RegExp(`(?<=\\d) (?=(?:${UNITS.join("|")})(?![\\p{L}\\p{N}²]))`, "gu");

function texts(root) {
  const choose = (node) => {
    if (node.nodeType === Node.TEXT_NODE) return NodeFilter.FILTER_ACCEPT;
    return node.matches(PASS_BY) ? NodeFilter.FILTER_REJECT : NodeFilter.FILTER_SKIP;
  };
  const what = NodeFilter.SHOW_ELEMENT | NodeFilter.SHOW_TEXT;
  const walker = document.createTreeWalker(root, what, choose);
  const found = [];
  while (walker.nextNode()) found.push(walker.currentNode);
  return found;
}

function bind(part) {
  for (const node of texts(part)) {
    const bound = node.data.replace(BETWEEN, "\u00a0");
    if (bound !== node.data) node.data = bound;
  }
}

// What was put into ``target``: all of it is read, or parts of it are, or nothing.
function bindIn(target) {
  if (target.closest(PASS_BY)) return;
  if (target.closest(READ_IN)) bind(target);
  else target.querySelectorAll(READ_IN).forEach(bind);
}

export function bindUnits() {
  const onChange = (records) => {
    const changed = records.filter(({ addedNodes }) => addedNodes.length);
    new Set(changed.map(({ target }) => target)).forEach(bindIn);
  };
  new MutationObserver(onChange).observe(document.body, { childList: true, subtree: true });
  bindIn(document.body);
}
