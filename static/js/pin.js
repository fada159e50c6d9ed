// A PIN on our own large keys. The input stays an ordinary one: a keyboard that is there types into it too.
(() => {
  "use strict";
  const press = (input, key) => {
    if (key === "wipe") input.value = "";
    else if (key === "back") input.value = input.value.slice(0, -1);
    else input.value += key;
    input.dispatchEvent(new Event("input", { bubbles: true }));
  };

  const serve = (pad) => {
    const input = document.getElementById(pad.dataset.pinKeys);
    if (!input || "served" in pad.dataset) return;
    pad.dataset.served = "";
    input.inputMode = "none";
    if ("always" in pad.dataset) pad.hidden = false;
    input.addEventListener("focus", () => { pad.hidden = false; });
    pad.addEventListener("click", ({ target }) => {
      const key = target.closest("[data-digit]");
      if (key) press(input, key.dataset.digit);
    });
  };

  const start = (root) => root.querySelectorAll("[data-pin-keys]").forEach(serve);
  addEventListener("DOMContentLoaded", () => start(document));
  document.addEventListener("htmx:load", (event) => start(event.detail.elt));
})();
