// Sending what waits: in the order of the taps, one after the other, by one page of the device.

import * as farm from "./farm.js";
import * as store from "./store.js";

const LEASE_MS = 20000;
const FAR_MS = 120000;
const STILL = "!"; // behind the id of a form that was sent again and refused again
const owner = Array.from(crypto.getRandomValues(new Uint8Array(8)), function (byte) { return byte.toString(16); }).join("");

// How it stands, for the strip: {away, sending, sent, held: "" | "signin" | "another", now: name}
export const standing = { away: false, sending: false, sent: 0, held: "", now: "" };

let tell = function () {};
let isBusy = false;
let isWanted = false;

export function onChange(told) { tell = told; }

export function isToSend(tap) { return ["waiting", "direct", "sending"].includes(tap.state); }

// Does the page that was tapped still send it by itself?
export function isOnItsWay(tap, now) {
  return tap.state === "direct" && tap.until > now && tap.until < now + FAR_MS;
}

// A tap that waited and was sent again is not lost by another no; any other is on the page that says why.
export function stillRefused(tap, words) {
  return tap.waited ? { ...tap, state: "no", words: words } : null;
}

// Pages were answered: the server says so by a cookie, whatever the answer was.
export async function forgetAnswered() {
  const found = document.cookie.split("; ").find(function (each) { return each.startsWith("pinset-answered="); });
  if (!found) return;
  const ids = decodeURIComponent(found.split("=")[1]).replace(/"/g, "").split(".");
  for (const each of ids) {
    const id = each.replace(STILL, "");
    const words = each === id ? [] : farm.wordsOf(document);
    await store.alter(id, function (tap) {
      if (tap.state !== "direct") return undefined;
      return each === id ? null : stillRefused(tap, words);
    });
  }
  document.cookie = "pinset-answered=; path=/; max-age=0; samesite=lax";
  if (ids.length) tell();
}

export async function drain() {
  if (isBusy) { isWanted = true; return; }
  isBusy = true;
  try {
    do {
      isWanted = false;
      await drainOnce();
    } while (isWanted);
  } finally {
    isBusy = false;
    standing.sending = false;
    tell();
  }
}

async function drainOnce() {
  await forgetAnswered();
  if (!(await store.all()).some(isToSend)) { standing.away = false; standing.held = ""; return; }
  if (!(await store.lease(owner, LEASE_MS, Date.now()))) return;
  try {
    await freeStopped();
    const desk = await farm.desk();
    standing.away = desk === null;
    if (desk) await sendAll(desk);
  } finally {
    await store.release(owner);
  }
}

// With the lease in hand nobody else is sending: what a page left behind that was closed waits again.
async function freeStopped() {
  const now = Date.now();
  for (const tap of await store.all()) {
    const isLeft = tap.state === "sending" || (tap.state === "direct" && !isOnItsWay(tap, now));
    if (!isLeft) continue;
    await store.alter(tap.id, function (each) {
      return each.state === tap.state ? { ...each, state: "waiting", tried: Math.max(each.tried, 1) } : undefined;
    });
  }
}

async function sendAll(desk) {
  for (;;) {
    const open = (await store.all()).filter(isToSend);
    const tap = open.find(function (each) { return each.person === desk.person; });
    standing.held = tap || !open.length ? "" : desk.person ? "another" : "signin";
    standing.now = desk.name;
    if (!tap || isOnItsWay(tap, Date.now())) return;
    if (!(await store.lease(owner, farm.patience(tap) + 5000, Date.now()))) return;
    standing.sending = true;
    tell();
    const begun = await store.alter(tap.id, function (now) {
      return isToSend(now) ? { ...now, state: "sending", tried: now.tried + 1 } : undefined;
    });
    if (!begun) continue; // thrown away meanwhile
    if (!(await settle(begun, await farm.send(begun, desk.token)))) return;
  }
}

// Write down what came of it; false if sending has to wait.
async function settle(tap, said) {
  if (said.answer === "yes") {
    const hasRemarks = said.remarks.length > 0;
    await store.alter(tap.id, function (now) {
      return hasRemarks ? { ...now, state: "remark", words: said.remarks } : null;
    });
    if (said.clock) await store.keepClock(said.clock);
    standing.sent += 1;
    return true;
  }
  if (said.answer === "no") {
    await store.alter(tap.id, function (now) { return { ...now, state: "no", words: said.words, waited: said.waited || now.waited || "" }; });
    return true;
  }
  const wasRefused = said.answer === "another"; // somebody else signed in between asking and sending
  await store.alter(tap.id, function (now) {
    return { ...now, state: "waiting", tried: wasRefused ? now.tried - 1 : now.tried };
  });
  standing.away = !wasRefused;
  isWanted = isWanted || wasRefused;
  return false;
}
