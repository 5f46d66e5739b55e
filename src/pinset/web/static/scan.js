// A handheld scanner types a code and presses Enter. Every code is put into a queue at once and
// sent on one after the other, so that none is lost however fast they come or the network is.
// Without this file the form is sent as any other.
"use strict";

(function () {
  const form = document.getElementById("scanner");
  const field = document.getElementById("code");
  const waiting = document.getElementById("queue");
  const touched = window.matchMedia("(pointer: coarse)").matches;
  const queue = [];
  const PAUSE_MS = 80; // between two keys of a scanner there is less
  const SLOW_MS = 1000; // and less than this where the tablet is busy and the keys come late
  const LEAST = 5; // signs of the shortest code
  const AGAIN_MS = 3000;
  let busy = false;
  let burst = { text: "", at: 0, field: null, before: "" };

  // The keyboard on the glass comes only when the field itself is tapped: a scanner needs none.
  function ready() {
    if (touched) field.inputMode = "none";
    field.focus({ preventScroll: true });
  }
  field.addEventListener("pointerdown", function () { field.inputMode = "text"; });

  function showWaiting(away) {
    waiting.hidden = !away;
    waiting.textContent = away ? waiting.dataset.waiting + " " + queue.join(", ") : "";
  }

  async function next() {
    if (busy || !queue.length) return;
    busy = true;
    const sent = new FormData(form);
    const codes = queue.slice();
    sent.set("code", codes.join("\n"));
    try {
      const answer = await fetch(form.action, {
        method: "POST", body: sent, headers: { "HX-Request": "true" },
        signal: AbortSignal.timeout(15000),
      });
      if (answer.headers.get("HX-Redirect")) {
        window.location.assign(answer.headers.get("HX-Redirect"));
        return;
      }
      if (answer.status >= 500) throw new Error("not now");
      queue.splice(0, codes.length);
      const text = await answer.text();
      if (text.includes('id="hand"')) {
        htmx.swap(document.getElementById("hand"), text, { swapStyle: "outerHTML" });
      } else {
        window.location.reload();
      }
      showWaiting(false);
    } catch (problem) {
      // A page may have a use for what cannot be read now; what it takes is not sent again.
      const away = new CustomEvent("scan-away", { detail: { codes: queue.slice() }, cancelable: true });
      if (!document.dispatchEvent(away)) queue.length = 0;
      showWaiting(queue.length > 0);
      window.setTimeout(function () { busy = false; next(); }, AGAIN_MS);
      return;
    }
    busy = false;
    next();
  }

  function scanned(text) {
    const code = text.trim();
    if (code) queue.push(code);
    next();
  }

  form.addEventListener("submit", function (event) {
    event.preventDefault();
    event.stopImmediatePropagation();
    const text = field.value;
    field.value = "";
    ready();
    scanned(text);
  });

  function isTyped(element) {
    return element && element.matches("input:not([type=hidden]):not([type=file]), textarea, select");
  }

  // A letter is no part of a number: in its field a burst that has one is a scan, however slowly it
  // comes. Elsewhere only its speed tells a scanner from a hand.
  function pauseAllowed() {
    const isNumber = burst.field && burst.field.type === "number";
    return isNumber && /\p{L}/u.test(burst.text) ? SLOW_MS : PAUSE_MS;
  }

  // A scan while the focus is elsewhere: on a button it goes to the field; into a number or a reason
  // it is taken out again, so that no code is ever taken for a count.
  document.addEventListener("keydown", function (event) {
    if (event.ctrlKey || event.altKey || event.metaKey || event.target === field) return;
    const now = event.timeStamp;
    const target = event.target;
    if (!isTyped(target)) {
      if (event.key.length === 1 && event.key !== " ") field.focus({ preventScroll: true });
      return;
    }
    if (event.key === "Enter") {
      const isScan = burst.field === target && burst.text.length >= LEAST && now - burst.at <= pauseAllowed();
      if (isScan) {
        target.value = burst.before;
        scanned(burst.text);
      }
      if (isScan || target.type === "number") event.preventDefault();
      burst = { text: "", at: 0, field: null, before: "" };
    } else if (event.key.length === 1) {
      if (burst.field !== target || now - burst.at > pauseAllowed()) {
        burst = { text: "", at: now, field: target, before: target.value };
      }
      burst.text += event.key;
      burst.at = now;
    }
  }, true);

  window.addEventListener("online", function () { busy = false; next(); });
  document.addEventListener("htmx:afterSettle", function (event) {
    if (!isTyped(document.activeElement) || document.activeElement === field) ready();
    const photo = document.getElementById("photofile");
    if (event.detail.elt && event.detail.elt.id === "hand") photo.value = "";
  });
  document.addEventListener("DOMContentLoaded", ready);
  if (document.readyState !== "loading") ready();
})();
