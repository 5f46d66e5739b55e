// A bench session that was begun while the network is away: what is made in it, and its end, wait behind
// its begin.

import { me } from "./farm.js";
import { offerAnew, showKept } from "./forms.js";
import { isToSend } from "./sending.js";
import * as store from "./store.js";

const part = document.getElementById("until-begun");
const form = document.getElementById("begin");
const ending = part && part.querySelector("#end");

function isSentTo(form, tap) {
  return tap.action === new URL(form.getAttribute("action"), location.href).href;
}

function says(tap, name, value) {
  return tap.fields.some(function (field) { return field[0] === name && field[1] === value; });
}

// Once it is there it stays, also when the begin was sent: somebody may be typing.
export async function draw() {
  if (!part) return;
  const waiting = (await store.all()).filter(function (tap) {
    return isToSend(tap) && tap.state !== "direct" && tap.person === me.person;
  });
  const bench = form.elements.namedItem("bench").value;
  const begun = waiting.filter(function (tap) { return isSentTo(form, tap) && says(tap, "bench", bench); }).pop();
  if (!begun) return;
  const session = `tap-${begun.id}`;
  const isEnded = waiting.some(function (tap) { return isSentTo(ending, tap) && says(tap, "session", session); });
  const isShown = !part.hidden && part.dataset.session === session;
  if (isEnded) {
    if (isShown && !part.querySelector(".making").hidden) {
      part.querySelector(".making").hidden = true;
      offerAnew(form);
    }
    return; // another may be begun
  }
  if (isShown) return;
  if (part.dataset.session) offerAnew(ending);
  part.dataset.session = session;
  part.querySelectorAll("[name=session]").forEach(function (field) { field.value = session; });
  part.querySelector(".making").hidden = false;
  part.hidden = false;
  showKept(form, begun);
}
