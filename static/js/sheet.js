// Light or dark sheet, by choice, kept on this device. Loaded before the page is drawn, so that it never flashes.
(() => {
  "use strict";
  const root = document.documentElement;
  const kept = () => { try { return localStorage.getItem("sheet"); } catch { return null; } };
  const keep = (sheet) => { try { localStorage.setItem("sheet", sheet); } catch { /* private window: for this page only */ } };
  const lay = (sheet) => { root.dataset.sheet = sheet === "dark" ? "dark" : "light"; };
  const name = (button) => {
    button.textContent = root.dataset.sheet === "dark" ? button.dataset.light : button.dataset.dark;
    button.hidden = false;
  };

  lay(kept());
  addEventListener("DOMContentLoaded", () => {
    for (const button of document.querySelectorAll("[data-sheet-toggle]")) {
      name(button);
      button.addEventListener("click", () => {
        lay(root.dataset.sheet === "dark" ? "light" : "dark");
        keep(root.dataset.sheet);
        document.querySelectorAll("[data-sheet-toggle]").forEach(name);
      });
    }
  });
})();
