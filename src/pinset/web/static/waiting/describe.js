// A form in words and as plain fields, so that it can be kept, listed and filled in again.

import { noteOf } from "./again.js";

function plain(text) { return (text || "").replace(/\s+/g, " ").trim(); }

function heading(form) {
  const card = form.closest(".job");
  if (card) return plain(card.querySelector("h3") && card.querySelector("h3").textContent);
  const title = document.querySelector("main h1");
  const part = form.closest("details");
  const summary = part && part.querySelector("summary");
  return [title, summary].filter(Boolean).map(function (each) { return plain(each.textContent); }).join(": ");
}

function labelled(form) {
  const said = [];
  for (const input of form.elements) {
    if (input.name === "held" && input.value) said.push(input.value.split("/")[0]); // a lot in hand
    const isOff = (input.type === "checkbox" || input.type === "radio") && !input.checked;
    if (!input.name || !input.value || isOff || ["hidden", "submit", "button", "password"].includes(input.type)) continue;
    const label = input.labels && input.labels[0] ? plain(input.labels[0].textContent) : input.name;
    const value = input.type === "file" ? Array.from(input.files, function (file) { return file.name; }).join(", ")
      : input.tagName === "SELECT" ? plain(input.selectedOptions[0] && input.selectedOptions[0].textContent)
      : input.type === "checkbox" || input.type === "radio" ? "✓" : input.value;
    if (value) said.push(`${label}: ${value}`.slice(0, 300));
  }
  return said;
}

function fieldsOf(form, button) {
  const fields = [];
  for (const [name, value] of new FormData(form)) {
    if (name === "csrfmiddlewaretoken" || (value instanceof File && !value.name && !value.size)) continue;
    fields.push([name, value]);
  }
  if (button && button.name) fields.push([button.name, button.value]);
  return fields;
}

export function describe(form, button, me, until) {
  const note = noteOf(form);
  const action = (button && button.getAttribute("formaction")) || form.getAttribute("action") || location.href;
  const word = button ? plain(button.firstChild && button.firstChild.nodeType === 3 ? button.firstChild.textContent : button.textContent) : "";
  return {
    id: form.elements.namedItem("client_id").value,
    action: new URL(action, location.href).href,
    fields: fieldsOf(form, button),
    person: me.person, name: me.name,
    page: form.dataset.page || location.pathname + location.search, // an answer to a form has no page of its own
    what: [heading(form), word].filter(Boolean).join(" · ").slice(0, 300),
    detail: labelled(form),
    tapped: note ? note.split(" ")[0] : new Date().toISOString(), waited: note,
    state: "direct", until: until, tried: 0, words: [],
  };
}

// What a form is for stands in it and is never typed: several forms of a page have one address.
const PURPOSE = ["deed", "job"];
function typedOf(tap, name) {
  const found = tap.fields.find(function (field) { return field[0] === name; });
  return found ? found[1] : "";
}
function purposeOf(form, name) {
  const input = form.elements.namedItem(name);
  return input && input.type === "hidden" ? input.value : "";
}

// Put what was typed back into its form on this page; return the form, or null if it is not here.
export function fillAgain(tap) {
  const forms = Array.from(document.querySelectorAll("form")).filter(function (each) {
    const action = new URL(each.getAttribute("action") || location.href, location.href).href;
    if (each.closest("[hidden]")) return false; // of a session that is not begun on this page
    return each.elements.namedItem("client_id") && action.split("?")[0] === tap.action.split("?")[0];
  });
  const same = forms.filter(function (each) { return purposeOf(each, "deed") === typedOf(tap, "deed") || !purposeOf(each, "deed"); });
  if (!same.length) return null;
  const fit = function (each) {
    const fields = tap.fields.filter(function (field) { return each.elements.namedItem(field[0]); }).length;
    return PURPOSE.filter(function (name) { return purposeOf(each, name) === typedOf(tap, name); }).length * 1000 + fields;
  };
  const form = same.reduce(function (best, each) { return fit(each) > fit(best) ? each : best; });
  for (const input of form.elements) {
    if (!input.name || ["client_id", "csrfmiddlewaretoken", ...PURPOSE].includes(input.name) || ["submit", "button"].includes(input.type)) continue;
    const values = tap.fields.filter(function (field) { return field[0] === input.name; }).map(function (field) { return field[1]; });
    if (input.name === "session" && values[0] && values[0].startsWith("tap-")) continue; // begun meanwhile, by another tap
    if (input.type === "file") {
      const kept = new DataTransfer();
      values.forEach(function (value) { if (value instanceof File) kept.items.add(value); });
      input.files = kept.files;
    } else if (input.type === "checkbox" || input.type === "radio") {
      input.checked = values.includes(input.value);
    } else if (values.length) {
      const nth = Array.from(form.elements).filter(function (each) { return each.name === input.name; }).indexOf(input);
      input.value = values[Math.min(nth, values.length - 1)];
    }
  }
  for (let part = form.parentElement; part; part = part.parentElement) if (part.tagName === "DETAILS") part.open = true;
  form.querySelectorAll("details").forEach(function (part) { part.open = true; });
  return form;
}
