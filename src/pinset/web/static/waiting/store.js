// What waits on this device: taps in the order they were made, and who of the open pages sends them.
// A tap: {n, id, action, fields: [[name, text or file]], person, name, page, what, detail: [text],
//   tapped: ISO moment, waited: the farm's note of its times once it was refused, state, until: ms, tried, words: [text]}
// state: "direct" (the page sends it itself until `until`), "waiting", "sending" (by the page that
//   has the lease), "no" (the farm refused it), "remark" (written down; the farm said something of it).

const NAME = "pinset-waiting";
const TAPS = "taps";
const KEPT = "kept";

let opened = null;

function open() {
  if (opened) return opened;
  opened = new Promise(function (resolve, reject) {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = function () {
      const taps = request.result.createObjectStore(TAPS, { keyPath: "n", autoIncrement: true });
      taps.createIndex("id", "id", { unique: true });
      request.result.createObjectStore(KEPT);
    };
    request.onsuccess = function () {
      request.result.onversionchange = function () { request.result.close(); opened = null; };
      resolve(request.result);
    };
    request.onerror = function () { reject(request.error); };
    request.onblocked = request.onerror;
  });
  opened.catch(function () { opened = null; });
  return opened;
}

// Run `work(store, give)` in one transaction; resolves with what was given once all is on the disk.
async function within(name, mode, work) {
  const database = await open();
  return new Promise(function (resolve, reject) {
    const transaction = database.transaction(name, mode, { durability: "strict" });
    let given;
    transaction.oncomplete = function () { resolve(given); };
    transaction.onabort = function () { reject(transaction.error); };
    work(transaction.objectStore(name), function (value) { given = value; });
  });
}

// Put a tap behind the others; false if the same form waits already. `instead` leaves in its place.
export function put(tap, instead) {
  return within(TAPS, "readwrite", function (store, give) {
    const known = store.index("id").getKey(tap.id);
    known.onsuccess = function () {
      if (known.result !== undefined && known.result !== instead) { give(false); return; }
      if (instead !== undefined) store.delete(instead);
      store.add(tap);
      give(true);
    };
  });
}

export function all() {
  return within(TAPS, "readonly", function (store, give) {
    const found = store.getAll();
    found.onsuccess = function () { give(found.result); };
  });
}

// Change the tap with this id; `change` returns the changed one, or null to remove it, or undefined
// to leave it. Resolves with what `change` returned.
export function alter(id, change) {
  return within(TAPS, "readwrite", function (store, give) {
    const found = store.index("id").get(id);
    found.onsuccess = function () {
      if (!found.result) return;
      const changed = change(found.result);
      give(changed);
      if (changed === null) store.delete(found.result.n);
      else if (changed) store.put(changed);
    };
  });
}

// One page of the device sends at a time. A lease that lies absurdly far ahead is of a clock set back.
export function lease(owner, forMs, now) {
  return within(KEPT, "readwrite", function (store, give) {
    const found = store.get("lease");
    found.onsuccess = function () {
      const held = found.result;
      const isHeld = held && held.owner !== owner && held.until > now && held.until < now + 120000;
      if (!isHeld) store.put({ owner: owner, until: now + forMs }, "lease");
      give(!isHeld);
    };
  });
}

export function release(owner) {
  return within(KEPT, "readwrite", function (store) {
    const found = store.get("lease");
    found.onsuccess = function () {
      if (found.result && found.result.owner === owner) store.delete("lease");
    };
  });
}

// What was said of the device's clock, until somebody has read it.
export function keepClock(text) {
  return within(KEPT, "readwrite", function (store) {
    if (text) store.put(text, "clock");
    else store.delete("clock");
  });
}

export function clock() {
  return within(KEPT, "readonly", function (store, give) {
    const found = store.get("clock");
    found.onsuccess = function () { give(found.result || ""); };
  });
}
