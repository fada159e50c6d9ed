// An instrument picked by its number: typed, or scanned by whatever types like a keyboard and ends with Enter.
// One that may not be used is said so there and then, with those that can, before anything is keyed in.
(() => {
  "use strict";
  const plain = (text) => text.trim().toLowerCase();

  const find = (box, code) => {
    const usable = [...box.querySelectorAll("input[type=radio]")].find((each) => plain(each.value) === code);
    const refused = [...box.querySelectorAll("[data-refused]")].find((each) => plain(each.dataset.refused) === code);
    return { usable, refused };
  };

  const look = (box, input, { finished }) => {
    const code = plain(input.value);
    const place = box.querySelector("[data-picked]");
    const { usable, refused } = find(box, code);
    place.textContent = "";
    place.classList.toggle("field-error", Boolean(code) && !usable && (finished || Boolean(refused)));
    if (usable) {
      usable.checked = true;
      usable.closest("details")?.setAttribute("open", "");
      place.textContent = usable.closest("label").innerText;
      if (finished) input.value = "";
      return usable;
    }
    if (!code) return null;
    for (const each of box.querySelectorAll("input[type=radio]")) each.checked = false;
    if (refused) place.textContent = `${refused.textContent.trim()} ${place.dataset.able}`;
    else if (finished) place.textContent = `${place.dataset.unknown} ${place.dataset.able}`;
    return null;
  };

  document.addEventListener("input", ({ target }) => {
    const box = target.matches?.("[data-by-number]") && target.closest("[data-instruments]");
    if (box) look(box, target, { finished: false });
  });
  document.addEventListener("change", ({ target }) => {
    const box = target.closest?.("[data-instruments]");
    if (!box) return;
    if (target.matches("[data-by-number]")) look(box, target, { finished: true });
    else if (target.matches("input[type=radio]")) {
      box.querySelector("[data-by-number]").value = "";
      box.querySelector("[data-picked]").textContent = "";
    }
  });
  // A scanner ends with Enter: that picks, and does not send the form.
  document.addEventListener("keydown", (event) => {
    const { target } = event;
    if (event.key !== "Enter" || event.isComposing || !target.matches?.("[data-by-number]")) return;
    event.preventDefault();
    const box = target.closest("[data-instruments]");
    if (look(box, target, { finished: true })) target.form?.querySelector("[data-reading] input")?.focus();
  });
})();
