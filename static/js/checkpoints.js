// One checkpoint at a time: <section data-checkpoint id="C20.2">. Without script all stand one under another.
// The address keeps which one (#C20.2), so that the browser's Back works and a link can be sent.
(() => {
  "use strict";
  const sections = () => [...document.querySelectorAll("[data-checkpoint]")];
  const steps = (way) => document.querySelectorAll(`[data-step="${way}"]`);

  const current = (all) => {
    const wanted = decodeURIComponent(location.hash.slice(1));
    const at = all.findIndex((each) => each.id === wanted);
    if (at >= 0) return at;
    const open = all.findIndex((each) => each.hasAttribute("data-open"));
    return Math.max(open, 0);
  };

  // At the ends the strip's own links hold: back to the list, on to finishing.
  const lead = (way, section) => {
    for (const link of steps(way)) {
      link.dataset.home ??= link.getAttribute("href") ?? "";
      link.setAttribute("href", section ? `#${encodeURIComponent(section.id)}` : link.dataset.home);
    }
  };

  // What is to be done here is in reach without scrolling: a section's button[data-strip] stands beside Next.
  const lift = (section) => {
    const place = document.querySelector(".way-do");
    if (!place) return;
    place.replaceChildren();
    const buttons = [...section.querySelectorAll("form button[data-strip]")];
    for (const each of buttons) each.hidden = false;
    // What is folded away is not to be done now: a button that sends it would send what nobody sees.
    const button = buttons.find((each) => !each.closest("details:not([open])"));
    if (!button) return;
    button.form.id ||= `form-${section.id}`;
    const lifted = button.cloneNode(true);
    lifted.setAttribute("form", button.form.id);
    lifted.hidden = false;
    button.hidden = true;
    place.append(lifted);
    globalThis.htmx?.process(lifted);
  };

  const show = ({ focus }) => {
    const all = sections();
    if (all.length === 0) return;
    const at = current(all);
    all.forEach((each, index) => { each.hidden = index !== at; });
    lead("back", all[at - 1]);
    lead("next", all[at + 1]);
    lift(all[at]);
    for (const place of document.querySelectorAll("[data-checkpoint-at]")) place.textContent = `${at + 1} / ${all.length}`;
    if (!focus) return;
    scrollTo(0, 0);
    const heading = all[at].querySelector("h1, h2");
    heading?.setAttribute("tabindex", "-1");
    heading?.focus({ preventScroll: true });
  };

  document.addEventListener("toggle", ({ target }) => {
    const section = target.closest?.("[data-checkpoint]");
    if (section && !section.hidden) lift(section);
  }, true);
  addEventListener("hashchange", () => show({ focus: true }));
  addEventListener("DOMContentLoaded", () => show({ focus: false }));
  document.addEventListener("htmx:afterSettle", () => show({ focus: false }));
})();
