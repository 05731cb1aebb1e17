// What the first tap may need: the browser waits for it.
"use strict";
// Typed before the other scripts were there: data-touched tells them.
document.addEventListener("input", (event) => (event.target.dataset.touched = "yes"));
// "Start" leads to another page, whose clock.js takes the tap.
document.addEventListener("click", (event) => {
  const { startClock: find, name, back } = event.target.closest("[data-start-clock]")?.dataset ?? {};
  try {
    if (find) localStorage.setItem("partway tapped", JSON.stringify({ find, name, back, at: Date.now() }));
  } catch {
    // Nothing may be kept.
  }
});
// What was saved is said once: kept until draft.js and clock.js have run, on a later page if this one is left before.
let told = false;
const tell = () => {
  if (told) return;
  told = true;
  const done = [...document.querySelectorAll("[data-done]")].map((one) => one.dataset.done);
  try {
    const before = JSON.parse(localStorage.getItem("partway done")) || [];
    if (done.length) localStorage.setItem("partway done", JSON.stringify([...before, ...done]));
  } catch {
    // Nothing may be kept.
  }
};
document.addEventListener("readystatechange", tell); // once all of it is read, before any other script
window.addEventListener("pagehide", tell);
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
