// Puts the parts together: listens to forms, draws the strip, sends when the farm can be reached.

import { giveNote, momentOf } from "./again.js";
import * as bench from "./bench.js";
import { fillAgain } from "./describe.js";
import * as forms from "./forms.js";
import * as sending from "./sending.js";
import * as store from "./store.js";
import * as strip from "./strip.js";
import { say, word } from "./words.js";

const EVERY_MS = 5000;

const others = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("pinset-waiting");

function changed() {
  if (others) others.postMessage("changed");
  return Promise.all([strip.draw(), bench.draw()]);
}

async function look() {
  await sending.drain();
  await strip.draw();
}

async function fill() {
  const n = strip.askedAgain();
  if (!n) return;
  const tap = (await store.all()).find(function (each) { return each.n === n && each.state === "no"; });
  if (!tap) return;
  const form = fillAgain(tap);
  if (!form) { say(word("gone")); return; }
  const when = momentOf(tap);
  say(tap.waited && !when ? word("refilledask") : when ? word("refilledat", { when: when }) : word("refilled"));
  giveNote(form, tap);
  form.dataset.instead = String(n);
  form.scrollIntoView({ block: "center" });
}

// Taps made before this was there go their way now.
function ready() { document.dispatchEvent(new Event("pinset-keeps")); }

async function begin() {
  try {
    await sending.forgetAnswered();
    await strip.draw();
  } catch (problem) {
    console.warn("This device keeps nothing for pages; forms go as they always do.", problem);
    ready();
    return;
  }
  forms.onChange(changed);
  sending.onChange(changed);
  strip.onChange(changed);
  forms.listen();
  ready();
  await fill();
  await forms.markRefused();
  document.addEventListener("htmx:afterSettle", forms.markRefused);
  await forms.markCards();
  await bench.draw();
  if (others) others.onmessage = function () { strip.draw(); };
  window.addEventListener("online", look);
  window.addEventListener("pageshow", function (event) { if (event.persisted) look(); });
  document.addEventListener("visibilitychange", function () { if (!document.hidden) look(); });
  setInterval(look, EVERY_MS);
  await look();
}

begin();
