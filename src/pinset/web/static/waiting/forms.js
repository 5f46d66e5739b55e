// Forms that record: kept on the device before they are sent, and sent by the page if the farm is there.

import { dropNote, giveNote } from "./again.js";
import { describe } from "./describe.js";
import * as farm from "./farm.js";
import { drain, isToSend, stillRefused } from "./sending.js";
import * as store from "./store.js";
import { note, say, word } from "./words.js";

const DIRECT_MS = 25000;
export const MOST_MB = 12;
const MB = 1000000;
const REFUSED = 400;

const held = new WeakSet(); // a tap of it is being kept, on its way, or waits
const passing = new WeakSet(); // it may go as a form goes
const tapOf = new WeakMap(); // the id under which an exchanged part was sent

let tell = function () {};

export function onChange(told) { tell = told; }

function isKept(form, button) {
  if (form.tagName !== "FORM" || !form.elements.namedItem("client_id") || form.hasAttribute("data-again")) return false;
  const method = (button && button.getAttribute("formmethod")) || form.getAttribute("method") || "get";
  return method.toLowerCase() === "post";
}

function pass(form, button) {
  passing.add(form);
  form.requestSubmit(button || undefined);
  passing.delete(form);
}

function freshId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), function (byte) { return byte.toString(16).padStart(2, "0"); }).join("");
}

// The form is offered again, empty and as a new tap.
export function offerAnew(form) {
  const session = form.elements.namedItem("session");
  const same = session && session.value;
  form.reset();
  dropNote(form);
  if (session) session.value = same; // set by the page
  form.elements.namedItem("client_id").value = freshId();
  form.hidden = false;
  held.delete(form);
  if (form.nextElementSibling && form.nextElementSibling.matches(".note.waits")) form.nextElementSibling.remove();
}

// In place of the form: it is kept. A second tap meets this and not the form.
export function showKept(form, tap) {
  if (form.hidden) return;
  const said = note(word("kept", { when: new Date(tap.tapped).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" }) }));
  said.classList.add("waits");
  said.tabIndex = -1;
  if (!form.hasAttribute("hx-post") && !form.hasAttribute("data-once")) {
    const again = document.createElement("button");
    again.type = "button";
    again.textContent = word("next");
    again.addEventListener("click", function () { offerAnew(form); });
    said.append(again);
  }
  form.hidden = true;
  form.after(said);
  said.focus({ preventScroll: true });
}

async function wait(form, id) {
  const tap = await store.alter(id, function (now) {
    return now.state === "direct" ? { ...now, state: "waiting" } : now;
  });
  if (tap && form.isConnected) showKept(form, tap);
  tell();
  drain();
}

function tooBig(tap) {
  const bytes = farm.filesOf(tap).reduce(function (sum, file) { return sum + file.size; }, 0);
  return bytes > MOST_MB * MB ? word("big", { mb: String(Math.ceil(bytes / MB)), most: String(MOST_MB) }) : "";
}

// Without room on the device it goes only if the farm is there.
async function unkept(form, button, why) {
  if (await farm.desk()) {
    pass(form, button);
    return;
  }
  held.delete(form);
  say(why);
}

async function keep(form, button) {
  const tap = describe(form, button, farm.me, Date.now() + DIRECT_MS);
  const big = tooBig(tap);
  if (big) return unkept(form, button, big);
  let before;
  try {
    before = (await store.all()).filter(isToSend);
    const instead = form.dataset.instead ? Number(form.dataset.instead) : undefined;
    await store.put(tap, instead);
    delete form.dataset.instead;
  } catch (problem) {
    console.warn(problem);
    return unkept(form, button, word("full"));
  }
  const isFirst = !before.some(function (each) { return each.person === tap.person && each.id !== tap.id; });
  const desk = isFirst ? await farm.desk() : null;
  const isSelf = before.every(function (each) { return each.id !== tap.id; });
  if (desk && desk.person === tap.person && isSelf) {
    tapOf.set(form, tap.id);
    form.setAttribute("data-kept", "");
    pass(form, button);
    return;
  }
  await wait(form, tap.id);
}

export function listen() {
  document.addEventListener("submit", function (event) {
    const form = event.target;
    if (!isKept(form, event.submitter) || passing.has(form)) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (held.has(form)) return;
    held.add(form);
    keep(form, event.submitter).catch(function (problem) {
      held.delete(form);
      throw problem;
    });
  }, true);

  // A part that is exchanged tells itself whether it was answered.
  document.addEventListener("htmx:afterRequest", function (event) {
    const form = event.detail.requestConfig.elt; // the part itself may be gone by now
    const id = tapOf.get(form);
    if (!id) return;
    tapOf.delete(form);
    if (event.detail.xhr.status === 0) {
      wait(form, id);
      return;
    }
    held.delete(form);
    const { status, responseText } = event.detail.xhr;
    const refused = status >= REFUSED ? farm.wordsOf(new DOMParser().parseFromString(responseText, "text/html")) : null;
    store.alter(id, function (tap) { return refused ? stillRefused(tap, refused) : null; }).then(markRefused).then(tell);
  });

  window.addEventListener("pageshow", function (event) {
    if (event.persisted) document.querySelectorAll("form").forEach(function (form) { if (!form.hidden) held.delete(form); });
  });
}

// Cards on this page whose tap waits already: they do not offer the same again.
export async function markCards() {
  const open = (await store.all()).filter(isToSend);
  document.querySelectorAll(".job form[hx-post]").forEach(function (form) {
    const action = new URL(form.getAttribute("action"), location.href).href;
    const tap = open.find(function (each) { return each.action === action && each.state !== "direct"; });
    if (tap) showKept(form, tap);
  });
}

// Forms in which the farm asks about a tap that was sent again: they carry its times on, and leave in its place.
export async function markRefused() {
  const refused = (await store.all()).filter(function (tap) { return tap.state === "no" && tap.waited; });
  document.querySelectorAll("form").forEach(function (form) {
    const id = form.elements.namedItem("client_id");
    const tap = id && !form.dataset.instead && refused.find(function (each) { return each.id === id.value; });
    if (!tap) return;
    giveNote(form, tap);
    form.dataset.instead = String(tap.n);
  });
}
