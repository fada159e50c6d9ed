// Keys for gloved hands. The text input holds the value; everything here reads it and writes it.
// An inch is keyed as a tape is read: whole inches, the nearest eighth, then a line (1/32) more or less.
(() => {
  "use strict";
  const FINEST = 32;
  const FRACTION = /^([-−])?\s*(?:(\d+)(?:\s+|-))?(\d+)\/(\d+)$/;
  const DECIMAL = /^([-−])?(\d*)(\.\d*)?$/;

  // null when it was typed in a way of its own ("2' 3 1/2"): that is left as it is and the server reads it.
  const read = (text) => {
    const tidy = text.trim();
    const fraction = FRACTION.exec(tidy);
    if (fraction) {
      const [, minus, whole, over, under] = fraction;
      if (Number(under) === 0) return null;
      return { minus: Boolean(minus), whole: whole ?? "", over: Number(over), under: Number(under), point: "" };
    }
    const decimal = DECIMAL.exec(tidy);
    if (!decimal) return null;
    return { minus: Boolean(decimal[1]), whole: decimal[2], over: 0, under: 0, point: decimal[3] ?? "" };
  };

  const lowest = (over, under) => {
    let [a, b] = [over, under];
    while (b) [a, b] = [b, a % b];
    return [over / a, under / a];
  };

  const write = ({ minus, whole, over, under, point }) => {
    const sign = minus ? "-" : "";
    if (!under) return sign + whole + point;
    return `${sign}${whole ? `${whole} ` : ""}${over}/${under}`;
  };

  const withPart = (value, over, under) => {
    const [least, parts] = lowest(over, under);
    return { ...value, over: least, under: parts, point: "" };
  };

  const withLines = (value, step) => {
    if (value.point.length > 1 || (value.under && FINEST % value.under)) return null;
    const lines = Number(value.whole || 0) * FINEST + (value.under ? value.over * (FINEST / value.under) : 0) + step;
    if (lines < 0) return null;
    const whole = Math.floor(lines / FINEST);
    const rest = lines % FINEST;
    const base = { ...value, whole: whole ? String(whole) : "", over: 0, under: 0, point: "" };
    if (rest) return withPart(base, rest, FINEST);
    return { ...base, whole: String(whole) };
  };

  const takeBack = (value) => {
    if (value.under) return { ...value, over: 0, under: 0 };
    if (value.point) return { ...value, point: value.point.slice(0, -1) };
    if (value.whole) return { ...value, whole: value.whole.slice(0, -1) };
    return { ...value, minus: false };
  };

  // The value after a key, or null where the key says nothing there.
  const press = (value, key) => {
    if (/^\d$/.test(key)) {
      if (value.under) return null;
      if (value.point) return { ...value, point: value.point + key };
      return { ...value, whole: value.whole === "0" ? key : value.whole + key };
    }
    if (/^\d\/8$/.test(key)) return value.point.length > 1 ? null : withPart(value, Number(key[0]), 8);
    switch (key) {
      case "line-more": return withLines(value, 1);
      case "line-less": return withLines(value, -1);
      case "point": return value.under || value.point ? null : { ...value, whole: value.whole || "0", point: "." };
      case "minus": return { ...value, minus: !value.minus };
      case "back": return takeBack(value);
      default: return null;
    }
  };

  // How it is said aloud: "twenty-nine and seventeen thirty-seconds".
  const speaker = (pad) => {
    const ones = pad.dataset.wordsOnes.split(" ");
    const tens = pad.dataset.wordsTens.split(" ");
    const parts = new Map(pad.dataset.wordsParts.split(" ").map((each) => each.split(":")).map(([n, one, many]) => [Number(n), [one, many]]));
    const { wordHundred, wordAnd, wordA, wordPoint, wordMinus } = pad.dataset;
    const number = (n) => {
      if (n < 20) return ones[n];
      if (n < 100) return tens[Math.floor(n / 10) - 2] + (n % 10 ? `-${ones[n % 10]}` : "");
      if (n < 1000) return `${ones[Math.floor(n / 100)]} ${wordHundred}${n % 100 ? ` ${number(n % 100)}` : ""}`;
      return String(n);
    };
    const part = (over, under) => {
      if (!parts.has(under)) return `${over}/${under}`;
      const [one, many] = parts.get(under);
      if (over !== 1) return `${number(over)} ${many}`;
      return `${/^[aeiou]/.test(one) ? pad.dataset.wordAn : wordA} ${one}`;
    };
    return (value) => {
      const said = [];
      if (value.whole) said.push(number(Number(value.whole)));
      if (value.point.length > 1) said.push(wordPoint, ...[...value.point.slice(1)].map((digit) => ones[digit]));
      if (value.under) said.push(...(said.length ? [wordAnd] : []), part(value.over, value.under));
      if (said.length && value.minus) said.unshift(wordMinus);
      return said.join(" ");
    };
  };

  const element = (name, className, ...inside) => {
    const made = document.createElement(name);
    if (className) made.className = className;
    made.append(...inside);
    return made;
  };

  const set = (value) => {
    const sign = value.minus ? "−" : "";
    const plain = sign + value.whole + value.point;
    if (!value.under) return element("span", "number", plain);
    const over = element("span", "frac-over", String(value.over));
    const under = element("span", "frac-under", String(value.under));
    const stroke = element("span", "frac-stroke", "/");
    return element("span", "number", value.whole ? `${plain} ` : plain, element("span", "frac", over, stroke, under));
  };

  const readBack = (pad, input, words) => {
    const reading = input.closest("[data-reading]");
    const place = reading.querySelector("[data-reading-value]");
    const value = read(input.value);
    place.parentElement.hidden = false;
    place.parentElement.classList.toggle("unreadable", value === null);
    place.replaceChildren(value ? set(value) : element("span", "number as-typed", input.value));
    const spoken = value ? speaker(pad)(value) : "";
    const said = reading.querySelector("[data-reading-said]");
    said.textContent = words || spoken || said.dataset.help;
  };

  const offer = (pad, input) => {
    const kind = input.dataset.kind === "inch" ? "inch" : "decimal";
    for (const keys of pad.querySelectorAll("[data-keys]")) keys.hidden = keys.dataset.keys !== kind;
    for (const key of pad.querySelectorAll('[data-key="minus"]')) key.hidden = !("signed" in input.dataset);
    for (const key of pad.querySelectorAll('[data-key="point"]')) key.hidden = input.dataset.kind === "whole";
  };

  const change = (pad, input, key) => {
    const value = read(input.value);
    const next = key === "wipe" ? read("") : value && press(value, key);
    if (next) {
      input.value = write(next);
      input.dispatchEvent(new Event("change", { bubbles: true }));
    }
    const refused = !next && /^\d$/.test(key) && value?.under ? pad.dataset.wordFull : "";
    readBack(pad, input, refused);
  };

  const serve = (pad) => {
    const form = pad.closest("form");
    const inputs = [...form.querySelectorAll("[data-reading] input[data-kind]")];
    if (inputs.length === 0 || !pad.hidden) return;
    let current = inputs[0];
    const choose = (input) => {
      current = input;
      for (const each of inputs) each.closest("[data-reading]").classList.toggle("reading-current", each === input);
      offer(pad, input);
    };
    for (const input of inputs) {
      const said = input.closest("[data-reading]").querySelector("[data-reading-said]");
      said.dataset.help = said.textContent;
      input.inputMode = "none";
      input.addEventListener("focus", () => choose(input));
      input.addEventListener("input", () => readBack(pad, input));
      input.closest("[data-reading]").querySelector(".reading-value").addEventListener("click", () => input.focus());
      readBack(pad, input);
    }
    pad.addEventListener("click", (event) => {
      const key = event.target.closest("[data-key]");
      if (key) change(pad, current, key.dataset.key);
    });
    choose(current);
    pad.hidden = false;
  };

  const start = (root) => root.querySelectorAll("[data-keypad]").forEach(serve);
  addEventListener("DOMContentLoaded", () => start(document));
  document.addEventListener("htmx:load", (event) => start(event.detail.elt));
})();
