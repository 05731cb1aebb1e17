// A form that was sent is not sent again by a second tap; the server would refuse it anyway.
"use strict";
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
