// Hands the plugin to JupyterLab. Plain JavaScript, loaded as it stands: no build.
"use strict";

window._JUPYTERLAB = window._JUPYTERLAB || {};
window._JUPYTERLAB["packlearn-lessons"] = {
  init() {},
  async get() {
    const { default: plugin } = await import("./plugin.js");
    return () => ({ __esModule: true, default: plugin });
  },
};
