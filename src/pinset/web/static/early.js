// A tap on a form that records, before the page's other scripts are there, waits for them: they keep it
// on the device if the network is away. It is there before any form is.
"use strict";

(function () {
  const LONGEST_MS = 2000; // after all that could be loaded was loaded
  const taps = new Map();

  function hold(event) {
    const form = event.target;
    if (!form.elements.namedItem("client_id")) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (!taps.has(form)) taps.set(form, event.submitter); // a second tap in a hurry is the same
    form.setAttribute("aria-busy", "true");
  }

  function go() {
    document.removeEventListener("submit", hold, true);
    for (const [form, button] of taps) {
      form.removeAttribute("aria-busy");
      if (form.isConnected) form.requestSubmit(button && button.form === form ? button : undefined);
    }
    taps.clear();
  }

  document.addEventListener("submit", hold, true);
  document.addEventListener("pinset-keeps", go, { once: true });
  window.addEventListener("load", function () { setTimeout(go, LONGEST_MS); });
})();
