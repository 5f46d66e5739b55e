// Big digits for gloved fingers. Without this file the number is typed.
"use strict";

(function () {
  const pad = document.querySelector(".pinpad");
  const field = document.getElementById("pin");
  if (!pad) return;
  if (window.matchMedia("(pointer: coarse)").matches) field.inputMode = "none"; // the digits are below
  pad.addEventListener("click", function (event) {
    const button = event.target.closest("[data-digit]");
    if (!button) return;
    const digit = button.dataset.digit;
    field.value = digit === "back" ? field.value.slice(0, -1) : (field.value + digit).slice(0, field.maxLength);
  });
})();
