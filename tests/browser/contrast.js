// Texts of all panels whose contrast to what lies behind them is under 4.5 to 1 (WCAG 2.1, 1.4.3;
// 3 to 1 from 24 px, or 18.66 px and bold). axe-core passes over texts in JupyterLab's scrolled
// notebook and in SVG, so they are worked out here.
() => {
  const parse = (text) => {
    const parts = text.match(/[\d.]+/g)?.map(Number);
    return parts && parts.length >= 3 ? [...parts.slice(0, 3), parts[3] ?? 1] : null;
  };
  const over = (top, below) =>
    [0, 1, 2].map((k) => top[k] * top[3] + below[k] * (1 - top[3])).concat(1);
  const light = ([r, g, b]) => {
    const [x, y, z] = [r, g, b].map((value) => {
      const share = value / 255;
      return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * x + 0.7152 * y + 0.0722 * z;
  };
  const ratio = (one, other) => {
    const [low, high] = [light(one), light(other)].sort((a, b) => a - b);
    return (high + 0.05) / (low + 0.05);
  };
  const behind = (element) => {
    const found = [];
    for (let at = element; at; at = at.parentElement) {
      const colour = parse(getComputedStyle(at).backgroundColor);
      if (colour && colour[3] > 0) found.push(colour);
      if (colour && colour[3] === 1) break;
    }
    return found.reverse().reduce((below, top) => over(top, below), [255, 255, 255, 1]);
  };
  // The shapes of a picture that are painted before a text and hold its middle.
  const painted = (svg, text) => {
    const box = text.getBoundingClientRect();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    let colour = behind(svg);
    for (const shape of svg.querySelectorAll("rect, path, circle, ellipse, polygon")) {
      if (!(shape.compareDocumentPosition(text) & Node.DOCUMENT_POSITION_FOLLOWING)) continue;
      if (shape.closest("defs, pattern")) continue;
      const style = getComputedStyle(shape);
      const fill = parse(style.fill);
      if (!fill || style.fill.startsWith("url") || style.display === "none") continue;
      const point = new DOMPoint(x, y).matrixTransform(shape.getScreenCTM().inverse());
      if (!shape.isPointInFill(point)) continue;
      fill[3] *= Number(style.fillOpacity) * Number(style.opacity);
      colour = over(fill, colour);
    }
    return colour;
  };
  const faults = [];
  let seen = 0;
  const judge = (element, front, back, words) => {
    const style = getComputedStyle(element);
    const size = parseFloat(style.fontSize);
    const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
    const found = ratio(over(front, back), back);
    seen += 1;
    if (found < (large ? 3 : 4.5)) {
      faults.push(`${found.toFixed(2)}: "${words.trim().slice(0, 60)}" ${element.className?.baseVal ?? element.className}`);
    }
  };
  for (const panel of document.querySelectorAll(".packlearn-panel")) {
    const walker = document.createTreeWalker(panel, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      const element = walker.currentNode.parentElement;
      const words = walker.currentNode.textContent;
      if (!words.trim() || element.closest("style, title, desc, :disabled, [aria-disabled=true]")) continue;
      const box = element.getBoundingClientRect();
      const style = getComputedStyle(element);
      if (!box.width || !box.height || style.visibility === "hidden") continue;
      const svg = element.closest("svg");
      const front = parse(svg ? style.fill : style.color);
      if (front) judge(element, front, svg ? painted(svg, element) : behind(element), words);
    }
  }
  return { seen, faults };
}
