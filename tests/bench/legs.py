"""Where the time from a key to its picture goes: page, server, kernel and back.

The page's sockets are listened to; the kernel's messages tell by their dates when it began and
when it sent what. Page and kernel share one clock, as they run on one machine.
"""

import statistics

# Put into the page before anything of it runs.
LISTEN = """(() => {
  const log = (window.packlearnMessages = []);
  const clock = () => performance.timeOrigin + performance.now();
  const text = new TextDecoder();
  const dated = (date) =>
    Date.parse(date) + Number("0." + (/\\.[0-9]{3}([0-9]+)/.exec(date)?.[1] ?? "0"));
  const parts = (data) => {
    const view = new DataView(data);
    const offset = (at) => Number(view.getBigUint64(8 * (at + 1), true));
    const part = (at) =>
      JSON.parse(text.decode(data.slice(offset(at), offset(at + 1))));
    const [header, parent, content] = [part(1), part(2), part(4)];
    return {
      id: header.msg_id, kind: header.msg_type, sent: dated(header.date), parent: parent.msg_id,
      state: content.execution_state, method: content.data?.method,
      keys: Object.keys(content.data?.state ?? {}),
    };
  };
  const keep = (way, data) => {
    if (!(data instanceof ArrayBuffer)) return;
    const at = clock();
    log.push({ way, at, bytes: data.byteLength, ...parts(data) });
  };
  window.WebSocket = class extends window.WebSocket {
    constructor(...more) {
      super(...more);
      this.addEventListener("message", (event) => keep("in", event.data));
    }
    send(data) {
      keep("out", data);
      super.send(data);
    }
  };
})();"""

# Started after on_screen.WATCH: when the picture's part of the page changed.
NOTE = """(at) => {
  const drawn = document.querySelectorAll(".jp-CodeCell")[at].querySelector(".packlearn-picture");
  window.packlearnChanged = [];
  window.packlearnMessages.length = 0;
  window.packlearnNotes?.disconnect();
  if (!drawn) return;
  window.packlearnNotes = new MutationObserver(() => window.packlearnChanged.push(
    performance.timeOrigin + performance.now()));
  window.packlearnNotes.observe(drawn, { childList: true, subtree: true, characterData: true });
}"""
TAKE = """() => {
  const times = (list) => list.map((each) => performance.timeOrigin + each);
  const found = {
    messages: window.packlearnMessages.splice(0), changed: window.packlearnChanged.splice(0),
    key: times(window.onScreen.keys).at(-1), frame: times(window.onScreen.pictures).at(-1),
  };
  return found;
}"""

NAMES = (
    "page: key to message",
    "to the kernel",
    "kernel: until it sends the picture",
    "back to the page",
    "page: message to picture",
    "page: until it is painted",
)


def legs(found):
    """Milliseconds of each leg of one press, in the order of ``NAMES``; None if torn apart."""
    sent = next((m for m in found["messages"] if m["way"] == "out" and m["method"]), None)
    if sent is None or not found["changed"]:
        return None
    back = [m for m in found["messages"] if m["way"] == "in" and m["parent"] == sent["id"]]
    busy = next((m for m in back if m["state"] == "busy"), None)
    updates = [m for m in back if m["method"] == "update"]
    if busy is None or not updates:
        return None
    drawn = max(updates, key=lambda m: m["bytes"])
    changed = next((t for t in found["changed"] if t >= drawn["at"]), None)
    if changed is None:
        return None
    moments = (found["key"], sent["at"], busy["sent"], drawn["sent"], drawn["at"], changed)
    return [
        after - before
        for before, after in zip(moments, (*moments[1:], found["frame"]), strict=True)
    ]


def told(name, every):
    """Print the medians of the legs of many presses.

    Args:
        name: what was shown.
        every: what ``TAKE`` gave for each press.
    """
    rows = [row for row in map(legs, every) if row]
    if not rows:
        return
    print(f"\nlegs of a press, {name} ({len(rows)} presses)")
    for leg, values in zip(NAMES, zip(*rows, strict=True), strict=True):
        print(f"  {leg:36}{statistics.median(values):7.1f} ms")
    counts = [[m["bytes"] for m in each["messages"]] for each in every]
    messages, size = statistics.median(map(len, counts)), statistics.median(map(sum, counts))
    print(f"  {'messages of a press':36}{messages:7.0f}, together {size / 1000:.1f} kB")
