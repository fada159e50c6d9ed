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

// A scan may come whatever has the focus: keys without a pause, ended by Enter or Tab. It belongs to the instrument
// that is asked for, never to a reading, nor does it press a button. A field for words keeps what is scanned into it.
(() => {
  "use strict";
  const PAUSE_MS = 60;
  const SHORTEST = 3;
  let burst = { keys: "", at: -Infinity, target: null, before: "" };

  const takesWords = (target) =>
    target.matches?.("textarea, input[type=search], input[type=text], input:not([type])") && !target.closest("[data-reading]");
  const isShown = (element) => element.offsetParent !== null;
  const boxes = () => [...document.querySelectorAll("[data-instruments]")].filter(isShown);
  const names = (box, code) =>
    [...box.querySelectorAll("input[type=radio]")].some(({ value }) => value.toLowerCase() === code) ||
    [...box.querySelectorAll("[data-refused]")].some(({ dataset }) => dataset.refused.toLowerCase() === code);

  // Figures alone are a reading, however fast they come, unless an instrument is called so.
  const boxOf = (text) => {
    const code = text.toLowerCase();
    const known = boxes().find((box) => names(box, code));
    return { isScan: Boolean(known) || /[a-z]/i.test(text), box: known || boxes()[0] };
  };

  const takeBack = ({ target, before }) => {
    if (!("value" in target) || !target.matches("[data-reading] input, input[type=password]")) return;
    target.value = before;
    target.dispatchEvent(new Event("input", { bubbles: true }));
  };

  const hand = (box, code) => {
    const field = box.querySelector("[data-by-number]");
    field.value = code;
    field.focus();
    field.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter", bubbles: true, cancelable: true }));
  };

  document.addEventListener(
    "keydown",
    (event) => {
      if (event.isComposing || event.ctrlKey || event.altKey || event.metaKey) return;
      const { target, key, timeStamp } = event;
      const goesOn = timeStamp - burst.at < PAUSE_MS && target === burst.target;
      if (key.length === 1) {
        burst = goesOn
          ? { ...burst, keys: burst.keys + key, at: timeStamp }
          : { keys: key, at: timeStamp, target, before: target.value ?? "" };
        return;
      }
      if (key === "Shift") return;
      const ended = burst;
      burst = { keys: "", at: -Infinity, target: null, before: "" };
      if (!goesOn || !["Enter", "Tab"].includes(key) || ended.keys.length < SHORTEST) return;
      if (takesWords(target) && !target.matches("[data-by-number]")) return;
      const { isScan, box } = boxOf(ended.keys);
      if (!isScan) return;
      event.preventDefault();
      event.stopPropagation();
      takeBack(ended);
      if (box) hand(box, ended.keys);
    },
    true,
  );
})();
