// Folded code is out of sight; one button in the tool bar shows it and folds it again.
// Only the view changes: the notebook file keeps saying which cells are folded.
export const COMMAND = "packlearn:show-code";

function foldedCells(panel) {
  const cells = panel?.content?.widgets ?? [];
  return cells.filter((cell) => cell.model.getMetadata("jupyter")?.source_hidden === true);
}

function show(cell) {
  cell.syncCollapse = false;
  cell.inputHidden = false;
}

function fold(cell) {
  cell.inputHidden = true;
  cell.syncCollapse = true;
}

export function foldCode(app, words) {
  const shown = new WeakSet();
  const current = () => app.shell.currentWidget;
  const pick = (yes, no) => (shown.has(current()) ? yes : no) ?? "";

  app.commands.addCommand(COMMAND, {
    label: () => pick(words.hide_code, words.show_code),
    caption: () => pick(words.hide_code_hint, words.show_code_hint),
    isVisible: () => foldedCells(current()).length > 0,
    execute() {
      const panel = current();
      const now = shown.has(panel);
      foldedCells(panel).forEach(now ? fold : show);
      if (now) shown.delete(panel);
      else shown.add(panel);
      app.commands.notifyCommandChanged(COMMAND);
    },
  });

  app.shell.currentChanged.connect(async () => {
    await current()?.context?.ready;
    app.commands.notifyCommandChanged(COMMAND);
  });
}
