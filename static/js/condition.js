// Touching the outline of a car puts the place into the form; without script each place is a link.
(() => {
  "use strict";
  const WHOLE = 1000;
  const SVG = "http://www.w3.org/2000/svg";

  const choose = (form, name, value) => {
    const field = form.elements.namedItem(name);
    if (field) field.value = value;
  };

  // Where the pointer is inside of the drawing, in thousandths of its sides.
  const spot = (svg, event) => {
    const box = svg.getBoundingClientRect();
    const part = (at, from, size) => Math.min(WHOLE, Math.max(0, Math.round(((at - from) / size) * WHOLE)));
    return [part(event.clientX, box.left, box.width), part(event.clientY, box.top, box.height)];
  };

  const show = (svg, x, y) => {
    document.querySelectorAll(".car-pending, .car-place-touched").forEach((old) => {
      if (old.matches(".car-pending")) old.remove();
      else old.classList.remove("car-place-touched");
    });
    const { width, height } = svg.viewBox.baseVal;
    const dot = document.createElementNS(SVG, "circle");
    Object.entries({ class: "car-pending", cx: (x * width) / WHOLE, cy: (y * height) / WHOLE, r: width === WHOLE ? 36 : 24 }).forEach(
      ([name, value]) => dot.setAttribute(name, value),
    );
    svg.append(dot);
  };

  document.addEventListener("click", (event) => {
    const link = event.target.closest?.(".car-places a");
    const form = document.querySelector("#put-mark form");
    if (!link || !form) return;
    event.preventDefault();
    const svg = link.closest("svg");
    const [x, y] = spot(svg, event);
    show(svg, x, y);
    choose(form, "p_view", svg.dataset.view);
    choose(form, "p_place", "");
    choose(form, "p_x_permille", x);
    choose(form, "p_y_permille", y);
    const said = document.querySelector(".touched");
    const place = new URLSearchParams(link.getAttribute("href").split("#")[0]).get("place");
    if (said) said.textContent = `${svg.closest("figure").querySelector("figcaption").textContent}: ${place} ${said.dataset.touched}`;
    const kind = form.elements.namedItem("p_kind");
    kind.focus({ preventScroll: true });
    const box = form.getBoundingClientRect();
    if (box.top < 0 || box.top > innerHeight - 120) form.closest("section").scrollIntoView({ block: "start" });
  });

  // Chosen from the lists, what was touched before holds no more.
  document.addEventListener("change", ({ target }) => {
    if (!target.matches?.('#put-mark [name="p_view"], #put-mark [name="p_place"]')) return;
    choose(target.form, "p_x_permille", "");
    choose(target.form, "p_y_permille", "");
    document.querySelector(".car-pending")?.remove();
  });
})();
