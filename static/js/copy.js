// A button that copies what a field holds. Without the right to the clipboard the field is selected instead.
(() => {
  "use strict";
  for (const button of document.querySelectorAll("[data-copy]")) {
    const field = document.getElementById(button.dataset.copy);
    button.hidden = false;
    button.addEventListener("click", async () => {
      field.focus();
      field.select();
      try {
        await navigator.clipboard.writeText(field.value);
      } catch {
        if (!document.execCommand("copy")) return;
      }
      button.textContent = button.dataset.copied;
    });
  }
})();
