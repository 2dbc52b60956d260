// What a lesson needs of the page: it runs when opened, keys stay in its controls,
// controls have names, and code is out of sight until asked for.
import { foldCode } from "./code.js";
import { keepFocus } from "./focus.js";
import { pressInPictures } from "./grid.js";
import { keepKeys } from "./keys.js";
import { nameControls } from "./names.js";
import { runOnOpening } from "./opening.js";
import { bindUnits } from "./units.js";

function words() {
  const page = document.getElementById("jupyter-config-data");
  return JSON.parse(page?.textContent || "{}").packlearnWords ?? {};
}

function addStyle() {
  const link = document.createElement("link");
  link.rel = "stylesheet";
  link.href = new URL("lessons.css", import.meta.url);
  document.head.append(link);
}

export default {
  id: "packlearn-lessons:plugin",
  description: "Makes lessons run when opened and easy to use with the keyboard.",
  autoStart: true,
  activate(app) {
    const said = words();
    addStyle();
    keepKeys();
    keepFocus();
    pressInPictures();
    nameControls(said);
    bindUnits();
    foldCode(app, said);
    runOnOpening(app);
  },
};
