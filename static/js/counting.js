// On a counting sheet Enter goes to the next count, and from the last one to the button that records.
(() => {
  "use strict";
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.isComposing || !event.target.matches("[data-counting] input:not([type=checkbox])")) return;
    event.preventDefault();
    const fields = [...event.target.form.querySelectorAll("[data-count]")].filter((each) => !each.closest("details:not([open])"));
    const next = fields.find((each) => event.target.compareDocumentPosition(each) & Node.DOCUMENT_POSITION_FOLLOWING);
    if (next) {
      next.focus();
      next.select();
    } else {
      [...event.target.form.querySelectorAll("button.primary")].at(-1)?.focus();
    }
  });
})();
