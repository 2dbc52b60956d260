// A notebook that asks for it is run once when it is opened.
const RUN = "notebook:run-all-cells";
const START = `[data-commandlinker-command="${RUN}"]`;
const OWN_MOVES = ["wheel", "touchstart", "pointerdown", "keydown"];
// The last scrolling that JupyterLab does may come a moment after the last cell.
const AFTER_MS = 500;
const LIVE = "application/vnd.jupyter.widget-view+json";

// Yesterday's controls have no kernel any more; without this they say "Loading widget...".
function clearDeadControls(panel) {
  for (const cell of panel.content.widgets) {
    const outputs = cell.model.outputs?.toJSON() ?? [];
    if (outputs.some((output) => output.data && LIVE in output.data)) {
      cell.model.outputs.clear();
    }
  }
}

function isNotebook(widget) {
  return Boolean(widget?.context && widget.sessionContext && widget.content?.widgets);
}

function asksToRun(panel) {
  return panel.content.model?.getMetadata("packlearn")?.autorun === true;
}

async function kernelReady(panel) {
  await panel.sessionContext.ready;
  const kernel = panel.sessionContext.session?.kernel;
  await kernel?.info;
  return Boolean(kernel);
}

// Running all cells makes the last one active and scrolls to it. The learner stays where
// they are, until the cells are run or they move themselves.
function stayHere(panel) {
  const notebook = panel.content;
  const active = notebook.activeCellIndex;
  const view = notebook.node.querySelector(".jp-WindowedPanel-outer") ?? notebook.node;
  const top = view.scrollTop;
  const done = new AbortController();
  const { signal } = done;
  const leave = () => done.abort();
  const hold = () => {
    view.scrollTop = top;
  };
  view.addEventListener("scroll", hold, { signal });
  for (const type of OWN_MOVES) window.addEventListener(type, leave, { capture: true, signal });
  return {
    async until(ran) {
      notebook.activeCellIndex = active;
      await ran;
      setTimeout(leave, AFTER_MS);
    },
  };
}

function stayAfterStart(app) {
  // In the capture phase: before JupyterLab runs the command of the button.
  window.addEventListener(
    "click",
    (event) => {
      const button = event.target instanceof Element && event.target.closest(START);
      const panel = app.shell.currentWidget;
      if (!button || !isNotebook(panel)) return;
      const stay = stayHere(panel);
      const onRun = (_, { id, result }) => {
        if (id !== RUN) return;
        app.commands.commandExecuted.disconnect(onRun);
        stay.until(result);
        button.focus({ preventScroll: true });
      };
      app.commands.commandExecuted.connect(onRun);
    },
    true,
  );
}

export function runOnOpening(app) {
  const begun = new WeakSet();

  async function look() {
    const panel = app.shell.currentWidget;
    if (!isNotebook(panel) || begun.has(panel.context)) return;
    await panel.context.ready;
    if (!asksToRun(panel)) return;
    clearDeadControls(panel);
    const ready = await kernelReady(panel);
    // Meanwhile another tab may have come to the front; coming back looks again.
    if (!ready || app.shell.currentWidget !== panel || begun.has(panel.context)) return;
    begun.add(panel.context);
    const stay = stayHere(panel);
    await stay.until(app.commands.execute(RUN));
  }

  stayAfterStart(app);
  app.shell.currentChanged.connect(look);
  app.restored.then(look);
}
