// Keeps the pages of one person for the time without network. TOLD stands above, written by the farm:
// {version, files: [address], fallback, signOut, ask}.

const FILES = `pinset-files-${TOLD.version}`;
const PAGES = `pinset-pages-${TOLD.version}-`;
const NOTES = "pinset-notes"; // who is signed in; whether a sign-out waits
const PATIENCE_MS = 4000; // for the farm, where a page is kept
const FRESH_MS = 120000; // a page kept this short ago is not asked for anew without need
const MOST = 80; // pages
const ASK_MS = 20000; // for what nobody waits for; no longer does this keeper hold on to its place
const TRIES = 3; // to fetch the files of this version, when the farm has only just begun
const REST_MS = 1500;

let turns = 0;
let lastNoted = 0;
let isOther = false; // the farm is of another version than this keeper

self.addEventListener("install", function (event) {
  event.waitUntil((async function () {
    await fetchFiles(TRIES);
    await self.skipWaiting();
  })());
});

async function fetchFiles(tries) {
  const store = await caches.open(FILES);
  const wanted = [...TOLD.files, TOLD.fallback].map(function (address) {
    return new Request(address, { cache: "reload", credentials: "omit" });
  });
  try {
    await store.addAll(wanted);
  } catch (problem) {
    if (tries <= 1) throw problem;
    await new Promise(function (resolve) { setTimeout(resolve, REST_MS); });
    await fetchFiles(tries - 1);
  }
}

self.addEventListener("activate", function (event) {
  event.waitUntil((async function () {
    for (const name of await caches.keys()) {
      const isOurs = name.startsWith("pinset-files-") || name.startsWith("pinset-pages-");
      if (isOurs && name !== FILES && !name.startsWith(PAGES)) await caches.delete(name);
    }
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", function (event) {
  const request = event.request;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin) return;
  if (request.method === "POST" && url.pathname === TOLD.signOut) {
    event.respondWith(signOut(request));
  } else if (request.method === "GET" && request.mode === "navigate") {
    event.respondWith(open(event, request));
  } else if (request.method === "GET" && TOLD.files.includes(url.pathname)) {
    event.respondWith(file(request));
  }
});

// A page asks that addresses be kept as they are now; nobody looks at the answers. Or it saw that this
// keeper waits for its place still: the one before was busy when it was ready.
self.addEventListener("message", function (event) {
  if (event.data && event.data.takeOver) { event.waitUntil(self.skipWaiting()); return; }
  if (!event.data || !Array.isArray(event.data.again)) return;
  event.waitUntil((async function () {
    const [first, ...others] = event.data.again;
    await askAgain(first, event.data.person, 0);
    for (const address of others) await askAgain(address, event.data.person, FRESH_MS);
  })());
});

// Notes.

async function note(name) {
  const found = await (await caches.open(NOTES)).match(`/${name}`);
  return found ? found.text() : "";
}

async function setNote(name, text) {
  const store = await caches.open(NOTES);
  if (text) await store.put(`/${name}`, new Response(text));
  else await store.delete(`/${name}`);
}

async function forgetPages(but) {
  for (const name of await caches.keys()) {
    if (name.startsWith("pinset-pages-") && name !== but) await caches.delete(name);
  }
}

// The farm said who is signed in: pages of anybody else go.
async function noteWho(response, turn) {
  const said = response.headers.get("Pinset-For");
  if (!said || turn < lastNoted) return;
  lastNoted = turn;
  const person = said === "-" ? "" : said;
  if (person === await note("who") && person) return;
  await forgetPages(person ? PAGES + person : "");
  await setNote("who", person);
}

// Pages.

async function keep(address, response) {
  const seconds = Number(response.headers.get("Pinset-Keep"));
  const person = await note("who");
  const isTheirs = person && response.headers.get("Pinset-For") === person;
  if (!seconds || !isTheirs || response.status !== 200 || response.redirected) return;
  const headers = new Headers(response.headers);
  headers.set("Pinset-Stored", String(Date.now()));
  const text = (await response.text()).replace(/<!--said-->[^]*?<!--\/said-->/, "");
  if (person !== await note("who")) return;
  const store = await caches.open(PAGES + person);
  await store.delete(address); // put again it is the newest
  await store.put(address, new Response(text, { headers: headers }));
  const all = await store.keys();
  for (const old of all.slice(0, Math.max(0, all.length - MOST))) await store.delete(old);
}

async function kept(address) {
  const person = await note("who");
  if (!person) return null;
  const store = await caches.open(PAGES + person);
  const found = await store.match(address);
  if (!found) return null;
  const age = Date.now() - Number(found.headers.get("Pinset-Stored"));
  if (age <= 1000 * Number(found.headers.get("Pinset-Keep"))) return found;
  await store.delete(address);
  return null;
}

async function askAgain(address, person, freshMs) {
  const who = await note("who");
  if (await note("signed-out") || (who && who !== encodeURIComponent(person))) return;
  const full = new URL(address, self.location.origin).href;
  const before = await kept(full);
  if (before && Date.now() - Number(before.headers.get("Pinset-Stored")) < freshMs) return;
  const turn = ++turns;
  try {
    const response = await fetch(full, { headers: { "Pinset-Again": "1" }, credentials: "same-origin", redirect: "manual", signal: AbortSignal.timeout(ASK_MS) });
    if (!who) await noteWho(response, turn);
    await keep(full, response);
  } catch (problem) {
    if (!isAway(problem)) throw problem; // nothing to keep
  }
}

function isAway(problem) { return problem instanceof TypeError || problem.name === "TimeoutError"; }

function freshId() {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), function (byte) { return byte.toString(16).padStart(2, "0"); }).join("");
}

function plain(text) {
  return text.replace(/[&<>"]/g, function (sign) { return `&#${sign.charCodeAt(0)};`; });
}

function when(response) {
  const moment = new Date(Number(response.headers.get("Pinset-Stored")));
  return plain(moment.toLocaleString([], { weekday: "long", hour: "2-digit", minute: "2-digit" }));
}

// A kept page says as of when it is, and each of its forms is a new one: it is written down once, not
// taken for what was sent from the page before.
async function asKept(response) {
  const text = (await response.text())
    .replace(/(<div id="asof"[^>]*?) hidden>/, "$1>")
    .replace('<b id="asof-when"></b>', `<b id="asof-when">${when(response)}</b>`)
    .replace(/name="client_id" value="[0-9a-f]{32}"/g, function () { return `name="client_id" value="${freshId()}"`; });
  return answer(text, response);
}

function answer(text, like) {
  const headers = new Headers(like.headers);
  headers.delete("Content-Length");
  headers.delete("Content-Encoding");
  return new Response(text, { headers: headers });
}

async function fallback(which) {
  const found = await (await caches.open(FILES)).match(TOLD.fallback);
  const person = await note("who");
  const lines = [];
  if (person) {
    const store = await caches.open(PAGES + person);
    for (const request of (await store.keys()).reverse()) {
      const page = await kept(request.url);
      const title = page && /<title>([^]*?)<\/title>/.exec(await page.clone().text());
      if (title) lines.push(`<li><a class="button" href="${plain(request.url)}">${title[1]}</a> ${when(page)}</li>`);
    }
  }
  let text = await found.text();
  if (lines.length) text = text.replace(/(<ul[^>]*id="kept-pages">)[^]*?<\/ul>/, `$1${lines.join("")}</ul>`);
  if (which === "signed-out") {
    text = text.replace('data-case="away"', 'data-case="away" hidden').replace('data-case="signed-out" hidden', 'data-case="signed-out"');
  }
  return answer(text, found);
}

async function asked(request, turn) {
  const response = await fetch(request);
  const isElse = response.headers.get("Pinset-Version");
  if (isElse && isElse !== TOLD.version) {
    isOther = true;
    self.registration.update().catch(function (problem) { console.warn(problem); });
  }
  await noteWho(response, turn);
  return response;
}

async function open(event, request) {
  const turn = ++turns;
  if (await note("signed-out") && !(await tellSignOut())) return fallback("signed-out");
  const before = await kept(request.url);
  const network = asked(request, turn);
  event.waitUntil(network.then(function (response) { return keep(request.url, response.clone()); }).catch(function () { /* said below */ }));
  try {
    if (!before) return await network;
    const response = await Promise.race([network, new Promise(function (resolve) { setTimeout(resolve, PATIENCE_MS, null); })]);
    const isLate = !response || [502, 503, 504].includes(response.status);
    return isLate ? await asKept(before) : response;
  } catch (problem) {
    if (!(problem instanceof TypeError)) throw problem;
    return before ? asKept(before) : fallback("away");
  }
}

async function file(request) {
  const store = await caches.open(FILES);
  const found = await store.match(request, { ignoreSearch: true });
  if (found && !isOther) return found;
  try {
    return await fetch(request);
  } catch (problem) {
    if (found) return found;
    throw problem;
  }
}

// Signing out.

async function signOut(request) {
  lastNoted = ++turns; // what is on its way says no more who is signed in
  await forgetPages("");
  await setNote("who", "");
  try {
    return await fetch(request);
  } catch (problem) {
    if (!(problem instanceof TypeError)) throw problem;
    await setNote("signed-out", "yes");
    return fallback("signed-out");
  }
}

// Somebody signed out while the farm was away: it is told before anything is shown again.
async function tellSignOut() {
  try {
    const said = await (await fetch(TOLD.ask, { cache: "no-store", credentials: "same-origin", signal: AbortSignal.timeout(ASK_MS) })).json();
    if (said.person) {
      const response = await fetch(TOLD.signOut, {
        method: "POST", credentials: "same-origin", redirect: "manual", headers: { "X-CSRFToken": said.token }, signal: AbortSignal.timeout(ASK_MS),
      });
      if (response.type !== "opaqueredirect" && !response.ok) return false;
    }
  } catch (problem) {
    if (isAway(problem) || problem instanceof SyntaxError) return false;
    throw problem;
  }
  await setNote("signed-out", "");
  return true;
}
