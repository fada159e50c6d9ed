// A fire watch counted down by the server's clock: the page says what time it was there when it was made.
(() => {
  "use strict";
  const two = (n) => String(n).padStart(2, "0");
  const run = (clock) => {
    const left = clock.querySelector("[data-watch-left]");
    const until = Date.parse(clock.dataset.watchUntil);
    const begun = performance.now(), then = Date.parse(clock.dataset.watchNow);
    const show = () => {
      const seconds = Math.ceil((until - then - (performance.now() - begun)) / 1000);
      if (seconds <= 0) {
        left.textContent = clock.dataset.watchOver;
        clearInterval(timer);
        if (!document.querySelector("[data-entry] :focus")) location.reload();
        return;
      }
      left.textContent = `${Math.floor(seconds / 60)}:${two(seconds % 60)}`;
    };
    const timer = setInterval(show, 1000);
    show();
    // A tablet that slept has stopped its timers, and perhaps its clock: it asks the server again.
    document.addEventListener("visibilitychange", () => { if (!document.hidden) location.reload(); });
  };
  addEventListener("DOMContentLoaded", () => document.querySelectorAll("[data-watch-until]").forEach(run));
})();
