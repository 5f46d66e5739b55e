// Small helps for fingers. Every form works without this file.
"use strict";

(function () {
  const root = document.documentElement;
  root.classList.remove("noscript");

  function say(text) {
    const place = document.getElementById("said");
    if (!place) return;
    const note = document.createElement("div");
    note.className = "note gone";
    const line = document.createElement("p");
    line.textContent = text;
    note.append(line);
    place.replaceChildren(note);
  }

  // − and + beside a number.
  document.addEventListener("click", function (event) {
    const button = event.target.closest("[data-step]");
    if (!button) return;
    const input = button.parentElement.querySelector("input");
    const by = Number(button.dataset.step);
    const least = input.min === "" ? -Infinity : Number(input.min);
    const most = input.max === "" ? Infinity : Number(input.max);
    const now = Number(input.value || 0);
    input.value = String(Math.min(most, Math.max(least, Math.round((now + by) * 1000) / 1000)));
    input.dispatchEvent(new Event("change", { bubbles: true }));
  });

  // A second tap while the first is on its way is not sent; the client id would make it one entry anyway.
  document.addEventListener("submit", function (event) {
    const form = event.target;
    if (form.hasAttribute("hx-post") || form.hasAttribute("data-again")) return;
    if (form.dataset.sent) {
      event.preventDefault();
      return;
    }
    form.dataset.sent = "1";
    form.setAttribute("aria-busy", "true");
  });
  window.addEventListener("pageshow", function () {
    document.querySelectorAll("form[data-sent]").forEach(function (form) {
      delete form.dataset.sent;
      form.removeAttribute("aria-busy");
    });
  });

  // What was tapped before this file was there, or is put back by the browser, is drawn as well.
  window.addEventListener("pageshow", function () {
    document.querySelectorAll("form[hx-trigger='change']").forEach(function (form) {
      const touched = Array.from(form.elements).some(function (each) {
        if (each.options) {
          return Array.from(each.options).some((one) => one.selected !== one.defaultSelected);
        }
        if (each.type === "radio" || each.type === "checkbox") return each.checked !== each.defaultChecked;
        return each.type !== "hidden" && each.defaultValue !== undefined && each.value !== each.defaultValue;
      });
      if (touched) form.dispatchEvent(new Event("change", { bubbles: true }));
    });
  });

  // The network was away: the form keeps its client id, so tapping again is safe.
  // A part that looks after itself says instead that it stands still, until it moves again.
  function away(event) {
    if (event.detail.elt.hasAttribute("data-kept")) return; // waits on the device
    const part = event.detail.elt.closest("[data-stale]");
    say(part ? part.dataset.stale : root.dataset.away);
    if (part) document.getElementById("said").dataset.stale = "1";
  }
  document.addEventListener("htmx:sendError", away);
  document.addEventListener("htmx:timeout", away);
  document.addEventListener("htmx:beforeSwap", function (event) {
    const place = document.getElementById("said");
    if (!place || !place.dataset.stale || !event.detail.elt.closest("[data-stale]")) return;
    delete place.dataset.stale;
    place.replaceChildren();
  });

  // After a card was exchanged, keyboard focus stays on it.
  document.addEventListener("htmx:afterSettle", function (event) {
    const card = event.detail.target && document.getElementById(event.detail.target.id);
    const first = card && card.matches(".job") && card.querySelector("button, a");
    if (first) first.focus({ preventScroll: true });
  });
})();
