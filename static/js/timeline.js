// The drawn plan: whatever is touched, pointed at or gone to by arrow keys says what it is. Without this file
// each bar is a link with a title.
(() => {
  "use strict";

  const middle = (link) => {
    const box = link.getBoundingClientRect();
    return box.left + box.width / 2;
  };

  // By rows from the top, each from left to right; where a row has nothing, there is no row.
  const rowsOf = (links) => {
    const rows = new Map();
    for (const link of links) {
      if (!rows.has(link.parentNode)) rows.set(link.parentNode, []);
      rows.get(link.parentNode).push(link);
    }
    return [...rows.values()];
  };

  const nearest = (row, x) =>
    row.reduce((best, link) => (Math.abs(middle(link) - x) < Math.abs(middle(best) - x) ? link : best));

  const next = (rows, link, key) => {
    const number = rows.findIndex((row) => row.includes(link));
    const row = rows[number];
    const at = row.indexOf(link);
    if (key === "ArrowRight") return row[at + 1];
    if (key === "ArrowLeft") return row[at - 1];
    if (key === "Home") return row[0];
    if (key === "End") return row.at(-1);
    const other = rows[number + (key === "ArrowDown" ? 1 : -1)];
    return other && nearest(other, middle(link));
  };

  const KEYS = new Set(["ArrowRight", "ArrowLeft", "ArrowUp", "ArrowDown", "Home", "End"]);

  const begin = (picture, said) => {
    const links = [...picture.querySelectorAll(".timeline-touches a")];
    if (!links.length) return;
    const rows = rowsOf(links);
    let touched = null;
    let byFinger = false;
    said.hidden = false;

    const tell = (link) => {
      for (const one of picture.querySelectorAll("[data-told]")) delete one.dataset.told;
      link.dataset.told = "";
      const words = link.querySelector("title").textContent;
      if (said.textContent !== words) said.textContent = words;
    };
    for (const link of links) {
      link.setAttribute("tabindex", "-1");
      link.addEventListener("focus", () => {
        for (const one of links) if (one !== link) one.setAttribute("tabindex", "-1");
        link.setAttribute("tabindex", "0");
        tell(link);
      });
      link.addEventListener("pointerenter", () => tell(link));
      link.addEventListener("pointerdown", (event) => {
        byFinger = event.pointerType !== "mouse";
      });
      link.addEventListener("click", (event) => {
        if (byFinger && touched !== link) event.preventDefault(); // the first touch only says it
        touched = link;
      });
    }
    links[0].setAttribute("tabindex", "0");

    picture.addEventListener("keydown", (event) => {
      const link = event.target.closest?.(".timeline-touches a");
      if (!link || !KEYS.has(event.key) || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      const to = next(rows, link, event.key);
      to?.focus();
      to?.scrollIntoView({ block: "nearest", inline: "nearest" });
    });
  };

  addEventListener("DOMContentLoaded", () => {
    const said = document.querySelector("[data-timeline-said]");
    const picture = document.querySelector("[data-timeline]");
    if (said && picture) begin(picture, said);
  });
})();
