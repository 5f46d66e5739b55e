// A tap that was refused and is sent again: its form carries the farm's note of the tap's times, so that
// it happened when it was tapped, and a field in which another moment can be said.
// The note: tapped, sent, seconds ahead, and the tap by the farm's clock ("-" if only a person can say it).

import { element, word } from "./words.js";

const UNKNOWN = "-";
const TO_THE_MINUTE = 16;

// A note counts for the form it was written in, not for the next one on the same page.
export function noteOf(form) {
  const id = form.elements.namedItem("client_id").value;
  const field = form.querySelector("[name=waited]");
  return field && field.value.startsWith(`${id} `) ? field.value.slice(id.length + 1) : "";
}

export function dropNote(form) {
  form.querySelectorAll(".field.again").forEach(function (part) { part.remove(); });
  form.querySelectorAll("[name=waited], [name=waited_at]").forEach(function (field) { field.remove(); });
}

function shownOf(tap) {
  const at = tap.waited.split(" ")[3];
  return at && at !== UNKNOWN ? at.slice(0, TO_THE_MINUTE) : "";
}

// When it happened by the farm's clock, in words; empty if only a person can say it.
export function momentOf(tap) { return tap.waited ? shownOf(tap).replace("T", " ") : ""; }

export function giveNote(form, tap) {
  dropNote(form);
  if (!tap.waited) return;
  const hidden = element("input");
  hidden.type = "hidden";
  hidden.name = "waited";
  hidden.value = `${form.elements.namedItem("client_id").value} ${tap.waited}`;
  form.prepend(hidden);
  const own = form.querySelector("input[type=datetime-local][name=at]");
  const typed = tap.fields.find(function (field) { return field[0] === "waited_at"; });
  const input = own || element("input");
  if (!own) {
    input.type = "datetime-local";
    input.name = "waited_at";
    input.id = `again-${form.elements.namedItem("client_id").value}`;
    const part = element("div", "", "field again");
    const label = element("label", word("when"));
    label.htmlFor = input.id;
    part.append(label, input);
    form.prepend(part);
    input.value = typed ? typed[1] : shownOf(tap);
  } else if (!own.value) {
    own.value = shownOf(tap);
  }
  input.required = !shownOf(tap);
}
