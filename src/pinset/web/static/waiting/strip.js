// The strip at the bottom of the page: how many wait, a list of them in words, throwing one away.

import { me } from "./farm.js";
import { isOnItsWay, isToSend, standing } from "./sending.js";
import * as store from "./store.js";
import { element, whenSaid, word } from "./words.js";

const REALLY_MS = 6000;
const AGAIN = "pinset-again";

const strip = document.getElementById("waiting");
const said = strip.querySelector(".waitsaid");
const clock = strip.querySelector(".waitclock");
const list = strip.querySelector("details");

let told = function () {};
let drawn = "";

export function onChange(tell) { told = tell; }

function button(text, act) {
  const made = element("button", text);
  made.type = "button";
  made.addEventListener("click", act);
  return made;
}

// The second tap throws it away; what is being sent at this moment stays.
function throwing(tap) {
  let isAsked = false;
  const made = button(word("throw"), async function () {
    if (!isAsked) {
      isAsked = true;
      made.textContent = word("really");
      made.classList.add("harm");
      setTimeout(function () {
        isAsked = false;
        made.textContent = word("throw");
        made.classList.remove("harm");
      }, REALLY_MS);
      return;
    }
    await store.alter(tap.id, function (now) { return now.state === "sending" || now.state === "direct" ? undefined : null; });
    told();
  });
  return made;
}

function row(tap) {
  const made = element("li");
  made.append(element("b", tap.what), element("p", [...tap.detail, word("tapped", { who: tap.name, when: whenSaid(tap.tapped) })].join(" · "), "soft"));
  const acts = element("div", "", "row");
  if (tap.state === "no" || tap.state === "remark") {
    made.append(element("p", word(tap.state)));
    for (const text of tap.words) made.append(element("p", text, "lateline"));
  } else if (tap.tried) {
    made.append(element("p", word("unsure")));
  }
  if (tap.state === "no") {
    const again = element("a", word("open"), "button");
    again.href = tap.page;
    again.addEventListener("click", function () { sessionStorage.setItem(AGAIN, String(tap.n)); });
    acts.append(again);
  }
  acts.append(tap.state === "remark" ? button(word("read"), async function () {
    await store.alter(tap.id, function () { return null; });
    told();
  }) : throwing(tap));
  made.append(acts);
  return made;
}

function standingSaid(open) {
  const who = [...new Set(open.filter(function (tap) { return standing.held !== "another" || tap.person !== me.person; }).map(function (tap) { return tap.name; }))].join(", ");
  if (standing.held) return word(standing.held, { who: who, now: standing.now });
  if (standing.sending) return word("sending");
  if (standing.away && open.length) return word("away");
  if (standing.sent && !open.length) return word("sent", { n: String(standing.sent) });
  return "";
}

export async function draw() {
  const now = Date.now();
  const taps = (await store.all()).filter(function (tap) { return !isOnItsWay(tap, now); });
  const open = taps.filter(isToSend);
  const text = standingSaid(open);
  const clockText = await store.clock();
  const key = JSON.stringify([taps.map(function (tap) { return [tap.id, tap.state, tap.tried]; }), text, clockText]);
  if (key === drawn) return;
  drawn = key;
  strip.hidden = !taps.length && !text && !clockText;
  document.body.classList.toggle("has-waiting", !strip.hidden);
  list.hidden = !taps.length || !me.person; // a stranger at the door sees how many, not what
  const findings = taps.length - open.length;
  const counts = [open.length ? word("count", { n: String(open.length) }) : "", findings ? word("findings", { n: String(findings) }) : ""].filter(Boolean).join(" · ");
  list.querySelector("summary").textContent = counts;
  list.querySelector("ol").replaceChildren(...(list.hidden ? [] : taps.map(row)));
  said.replaceChildren(element("span", me.person ? text : [counts, text].filter(Boolean).join(". ")));
  said.hidden = !said.textContent;
  if (standing.held === "signin" && me.person) link(word("door"), strip.dataset.door);
  else if (standing.sent && !open.length && !standing.sending && me.person) link(word("fresh"), location.pathname + location.search);
  clock.hidden = !clockText || !me.person;
  clock.replaceChildren();
  if (!clock.hidden) clock.replaceChildren(element("span", `${clockText} `), button(word("read"), async function () {
    await store.keepClock("");
    told();
  }));
}

function link(text, address) {
  const made = element("a", text);
  made.href = address;
  said.append(" ", made);
}

export function askedAgain() {
  const n = sessionStorage.getItem(AGAIN);
  sessionStorage.removeItem(AGAIN);
  return n ? Number(n) : 0;
}
