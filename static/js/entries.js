// What is recorded from the floor goes in as entries with an identity of their own (form[data-entry]).
// The same identity means the same entry: it is kept for as long as nobody has answered, so that sending
// again after a lost answer cannot record twice, and renewed with the first answer, whatever it says.
(() => {
  "use strict";
  const FORM = "form[data-entry]";

  // crypto.randomUUID is only there on HTTPS and localhost; getRandomValues is there always.
  const freshId = () => {
    if (crypto.randomUUID) return crypto.randomUUID();
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  };

  const field = (form, name) => {
    let input = form.elements.namedItem(name);
    if (!input) {
      input = Object.assign(document.createElement("input"), { type: "hidden", name });
      form.append(input);
    }
    return input;
  };

  const renew = (form) => {
    field(form, "entry_id").value = freshId();
    field(form, "entered_at").value = "";
  };

  // Entered-at belongs to the entry: sent again after a lost answer it stays what it was.
  const stamp = (form) => {
    const at = field(form, "entered_at");
    if (!at.value) at.value = new Date().toISOString();
  };

  // Sent by htmx even where the page does not say so: a lost network then leaves the form as it stands,
  // where the browser would lay its own page over it. The page that answers is shown as ever.
  document.addEventListener("htmx:beforeProcessNode", ({ target }) => {
    if (target.matches(FORM) && !target.hasAttribute("hx-post")) target.setAttribute("hx-boost", "true");
  });
  document.addEventListener("htmx:beforeSwap", ({ detail }) => {
    if (!detail.boosted || !detail.requestConfig.elt.matches(FORM) || detail.xhr.status >= 500) return;
    detail.shouldSwap = true;
    bringHead(detail.xhr.responseText);
  });
  // Only the body is swapped: what the page that answers wants beside it, styles and scripts, is fetched here.
  const bringHead = (text) => {
    const head = new DOMParser().parseFromString(text, "text/html").head;
    for (const [wanted, name] of [["link[rel=stylesheet]", "href"], ["script[src]", "src"]]) {
      for (const each of head.querySelectorAll(wanted)) {
        const address = each.getAttribute(name);
        if (document.head.querySelector(`[${name}="${address}"]`)) continue;
        const made = Object.assign(document.createElement(each.localName), { [name]: address });
        document.head.append(each.localName === "link" ? Object.assign(made, { rel: "stylesheet" }) : made);
      }
    }
  };
  // An answer that leads nowhere else leaves the address alone: where forms are sent to is no page to reload.
  document.addEventListener("htmx:beforeHistoryUpdate", ({ detail: { requestConfig, history, pathInfo } }) => {
    const sentTo = new URL(pathInfo.finalRequestPath, location.href).pathname;
    if (!requestConfig.elt.matches(FORM) || pathInfo.responsePath?.split("?")[0] !== sentTo) return;
    Object.assign(history, { type: "replace", path: location.pathname + location.search + location.hash });
  });

  const buttons = (form) => [...form.elements].filter((each) => each.type === "submit");

  const busy = (form, on) => {
    form.toggleAttribute("data-on-its-way", on);
    form.setAttribute("aria-busy", String(on));
    for (const button of buttons(form)) {
      if (on) button.setAttribute("aria-disabled", "true");
      else button.removeAttribute("aria-disabled");
      say(button, on);
    }
  };

  // A button may bring its own words for the time between (data-sending).
  const say = (button, on) => {
    if (on && button.dataset.sending) {
      button.dataset.rest = button.textContent;
      button.textContent = button.dataset.sending;
    } else if (!on && button.dataset.rest) {
      button.textContent = button.dataset.rest;
      delete button.dataset.rest;
    }
  };

  const notSent = (form, on) => {
    form.querySelector(".not-sent")?.remove();
    if (!on) return;
    const words = form.dataset.notSent || document.body.dataset.notSent;
    const box = Object.assign(document.createElement("p"), { className: "field-error not-sent", textContent: words });
    box.setAttribute("role", "alert");
    form.append(box);
  };

  const prepare = (root) => {
    const forms = root.matches?.(FORM) ? [root] : [...(root.querySelectorAll?.(FORM) ?? [])];
    forms.filter((form) => !form.hasAttribute("data-on-its-way")).forEach(renew);
  };

  // First in line, before htmx gathers the values.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches(FORM)) return;
    if (form.hasAttribute("data-on-its-way")) {
      event.preventDefault();
      event.stopImmediatePropagation();
      return;
    }
    stamp(form);
    notSent(form, false);
    // After the values are gathered: a button that is switched off in between would not be sent.
    setTimeout(() => busy(form, true));
  }, true);

  const formOf = (event) => event.detail.elt?.closest?.(FORM);
  const answered = (event) => {
    const form = formOf(event);
    const xhr = event.detail.xhr;
    // Led to another page, this one only waits to go: what it held is recorded, and nothing is left to press.
    if (!form || xhr?.getResponseHeader("HX-Redirect")) return;
    busy(form, false);
    const status = xhr?.status ?? 0;
    if (status === 0 || status >= 500) notSent(form, true);
    else if (form.isConnected) renew(form);
  };
  document.addEventListener("htmx:afterRequest", (event) => setTimeout(() => answered(event)));
  document.addEventListener("htmx:load", (event) => prepare(event.detail.elt));

  // Shown again from the browser's memory: the page as it was left, its buttons off and its identity used.
  addEventListener("pageshow", () => {
    for (const form of document.querySelectorAll(FORM)) {
      busy(form, false);
      renew(form);
    }
  });
})();
