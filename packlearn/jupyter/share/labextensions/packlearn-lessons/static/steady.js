// Sentences below a moving picture keep the room of the longest so far, so that what stands
// further down does not jump while a slider moves.
const kept = new WeakSet();

export function keepRoom(area) {
  if (kept.has(area)) return;
  kept.add(area);
  let width = 0;
  new ResizeObserver(() => {
    const size = area.getBoundingClientRect();
    // Another width breaks the lines anew.
    if (Math.abs(size.width - width) > 1) area.style.minHeight = "";
    width = size.width;
    const height = Math.ceil(area.getBoundingClientRect().height);
    if (height) area.style.minHeight = `${height}px`;
  }).observe(area);
}
