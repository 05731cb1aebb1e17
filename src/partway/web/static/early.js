// What the first tap may need: the browser waits for it.
"use strict";
// Typed before the other scripts were there: data-touched tells them.
document.addEventListener("input", (event) => (event.target.dataset.touched = "yes"));
// A form that was sent is not sent again by a second tap.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.dataset.sent) {
    event.preventDefault();
    return;
  }
  if ((form.method || "").toLowerCase() !== "post" || form.hasAttribute("data-again")) return;
  form.dataset.sent = "yes";
  form.setAttribute("aria-busy", "true");
});
// After Back the page may be used again; the server says if it was saved already.
window.addEventListener("pageshow", () => {
  document.querySelectorAll("form[data-sent]").forEach((form) => {
    delete form.dataset.sent;
    form.removeAttribute("aria-busy");
  });
});
