// The network is away: what was scanned goes into the fields of the form that waits on the device.
"use strict";

(function () {
  const part = document.getElementById("byhand");
  const form = part.querySelector("form");
  const from = document.getElementById("from");
  const into = document.getElementById("vessels");
  const known = form.dataset.vessels.split(" ");

  document.addEventListener("scan-away", function (event) {
    for (const text of event.detail.codes) {
      const code = text.toUpperCase().split("/")[0];
      const field = known.includes(code) ? into : from;
      field.value = (field.value + " " + code).trim();
    }
    event.preventDefault();
    part.open = true;
    part.scrollIntoView({ block: "nearest" });
  });
})();
