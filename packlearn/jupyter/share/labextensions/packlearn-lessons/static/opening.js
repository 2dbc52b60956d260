// A notebook that asks for it is run once when it is opened.
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

// Running all cells makes the last one active; the learner stays where they are.
function returnTo(panel, active) {
  panel.content.activeCellIndex = active;
}

function stayAfterStart(app) {
  const start = '[data-commandlinker-command="notebook:run-all-cells"]';
  // In the capture phase: before JupyterLab runs the command of the button.
  window.addEventListener(
    "click",
    (event) => {
      const button = event.target instanceof Element && event.target.closest(start);
      const panel = app.shell.currentWidget;
      if (!button || !isNotebook(panel)) return;
      const active = panel.content.activeCellIndex;
      setTimeout(() => {
        returnTo(panel, active);
        button.focus();
      });
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
    const active = panel.content.activeCellIndex;
    app.commands.execute("notebook:run-all-cells");
    returnTo(panel, active);
  }

  stayAfterStart(app);
  app.shell.currentChanged.connect(look);
  app.restored.then(look);
}
