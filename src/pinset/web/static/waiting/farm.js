// Talking to the farm: is it there, who is signed in, and sending one tap that waited.

const ASK_MS = 4000;
const SEND_MS = 15000;
const SEND_FILES_MS = 60000;

const strip = document.getElementById("waiting");

export const me = { person: strip.dataset.person, name: strip.dataset.name };

export function filesOf(tap) {
  return tap.fields.map(function (field) { return field[1]; }).filter(function (value) { return value instanceof Blob; });
}

export function patience(tap) {
  return filesOf(tap).length ? SEND_FILES_MS : SEND_MS;
}

async function within(ms, ask) {
  const control = new AbortController();
  const timer = setTimeout(function () { control.abort(); }, ms);
  try {
    return await ask(control.signal);
  } finally {
    clearTimeout(timer);
  }
}

// Return {person, name, token}, or null if the farm cannot be reached.
export async function desk() {
  if (navigator.onLine === false) return null;
  try {
    return await within(ASK_MS, async function (signal) {
      const response = await fetch(strip.dataset.ask, { cache: "no-store", credentials: "same-origin", signal: signal });
      return response.ok ? response.json() : null;
    });
  } catch (problem) {
    if (problem instanceof TypeError || problem instanceof SyntaxError || problem.name === "AbortError") return null;
    throw problem;
  }
}

// Return what a page says of why it took nothing.
export function wordsOf(page) {
  const main = page.querySelector("main") || page.body;
  let found = main.querySelectorAll(".note.gone > p:not(:has(> a:only-child)), .wrong, p[role=alert]");
  if (!found.length) found = main.querySelectorAll("h1, h1 ~ p:not(.row):not(.tiny)");
  const words = [];
  for (const each of found) {
    const text = each.textContent.replace(/\s+/g, " ").trim();
    if (text && !words.some(function (before) { return before.includes(text); })) words.push(text);
  }
  return words.slice(0, 6);
}

// Send one tap. Return {answer: "yes" | "no" | "another" | "later", words, remarks, clock, waited}.
export async function send(tap, token) {
  const body = new FormData();
  for (const [name, value] of tap.fields) {
    if (value instanceof File) body.append(name, value, value.name);
    else body.append(name, value);
  }
  try {
    return await within(patience(tap), async function (signal) {
      const response = await fetch(tap.action, {
        method: "POST", body: body, credentials: "same-origin", redirect: "manual", signal: signal,
        headers: {
          "X-CSRFToken": token, "Pinset-Person": tap.person,
          "Pinset-Tapped": tap.tapped, "Pinset-Sent": new Date().toISOString(),
        },
      });
      return await read(response);
    });
  } catch (problem) {
    if (problem instanceof TypeError || problem instanceof SyntaxError || problem.name === "AbortError") return { answer: "later" };
    throw problem;
  }
}

async function read(response) {
  const isLater = response.headers.has("Pinset-Later") || [0, 408, 429, 502, 503, 504].includes(response.status);
  if (isLater) return { answer: "later" };
  const kind = response.headers.get("Content-Type") || "";
  if (kind.startsWith("application/json")) return response.json();
  const page = new DOMParser().parseFromString(await response.text(), "text/html");
  return { answer: "no", words: wordsOf(page), waited: response.headers.get("Pinset-Waited") || "" };
}
