// Words of the page, written by the server, and notes made of them.

const words = document.getElementById("waiting-words").content;

export function word(name, values) {
  const found = words.querySelector(`[data-word="${name}"]`).textContent;
  return Object.entries(values || {}).reduce(function (text, [key, value]) { return text.replaceAll(`{${key}}`, value); }, found);
}

export function element(tag, text, kind) {
  const made = document.createElement(tag);
  if (text) made.textContent = text;
  if (kind) made.className = kind;
  return made;
}

export function note(text) {
  const made = element("div", "", "note");
  made.append(element("p", text));
  return made;
}

// Say something at the top of the page.
export function say(text) {
  const place = document.getElementById("said");
  if (!place) return;
  const made = note(text);
  made.classList.add("gone");
  place.replaceChildren(made);
  made.scrollIntoView({ block: "nearest" });
}

export function whenSaid(tapped) {
  return new Date(tapped).toLocaleString([], { weekday: "short", hour: "2-digit", minute: "2-digit" });
}
