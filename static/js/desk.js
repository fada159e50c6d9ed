// Keys that every page knows: "/" finds, Escape leaves. The summary of errors takes the focus; a button prints.
(() => {
  "use strict";
  const typing = (element) => element.matches("input, select, textarea, [contenteditable]");

  const find = () => document.querySelector("[data-search], input[type=search]");

  const leave = () => document.querySelector("a[data-leave]");

  document.addEventListener("keydown", (event) => {
    if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return;
    const here = document.activeElement ?? document.body;
    if (event.key === "/" && !typing(here)) {
      const field = find();
      if (!field) return;
      event.preventDefault();
      field.focus();
      field.select?.();
    } else if (event.key === "Escape" && !here.closest("dialog[open]")) {
      if (typing(here)) here.blur();
      else leave()?.click();
    }
  });

  addEventListener("DOMContentLoaded", () => {
    for (const button of document.querySelectorAll("[data-print]")) {
      button.hidden = false;
      button.addEventListener("click", () => print());
    }
  });

  const focusSummary = (root) => root.querySelector("[data-focus-first]")?.focus();
  addEventListener("DOMContentLoaded", () => focusSummary(document));
  document.addEventListener("htmx:afterSettle", (event) => focusSummary(event.detail.elt));
})();
