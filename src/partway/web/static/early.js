// What the first tap may already need, so the browser waits for it before it shows the page; the other scripts come later.
"use strict";
// Typed or chosen before the script was there that keeps or asks: data-touched tells it.
document.addEventListener("input", (event) => (event.target.dataset.touched = "yes"));
// A form that was sent is not sent again by a second tap; the server would refuse it anyway.
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
// Coming back with the back button: the page may be used again, and the server says if it was saved already.
window.addEventListener("pageshow", () => {
  document.querySelectorAll("form[data-sent]").forEach((form) => {
    delete form.dataset.sent;
    form.removeAttribute("aria-busy");
  });
});
