// Our own keys for a gloved finger, where a finger is what there is: digits, point, delete, Next. The phone's keyboard
// stays away while they are there ("abc" fetches it); one that is plugged in works as well.
"use strict";
(() => {
  const form = document.querySelector("form[data-keypad]");
  if (!form || !form.dataset.unit || !matchMedia("(pointer: coarse)").matches) return;
  const inputs = [...form.querySelectorAll("input[data-keys]")];
  let input = null;
  const pad = document.createElement("div");
  pad.className = "keypad";
  pad.setAttribute("role", "group");
  pad.setAttribute("aria-label", "Keys");
  pad.hidden = true;
  const type = (text) => {
    if (!input) return;
    const [from, to] = [input.selectionStart ?? input.value.length, input.selectionEnd ?? input.value.length];
    if (text) {
      input.setRangeText(text, from, to, "end");
    } else if (from !== to || from > 0) {
      input.setRangeText("", from === to ? from - 1 : from, to, "end");
    }
    input.dispatchEvent(new Event("input", { bubbles: true }));
  };
  const own = () => {
    const at = input;
    inputs.forEach((one) => one.setAttribute("inputmode", "text"));
    pad.remove();
    document.documentElement.classList.remove("keyed");
    input = null;
    at?.blur();
    at?.focus();
  };
  const next = () => form.dispatchEvent(new CustomEvent("partway:next"));
  const key = (words, act, more = {}) => {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = words;
    if (more.name) made.setAttribute("aria-label", more.name);
    made.className = more.sort || "quiet";
    made.addEventListener("pointerdown", (event) => event.preventDefault()); // the field keeps the focus
    made.addEventListener("click", act);
    pad.append(made);
  };
  const digit = (text) => key(text, () => type(text));
  ["7", "8", "9"].forEach(digit);
  key("⌫", () => type(""), { name: "Delete" });
  key("Next", next, { sort: "next" });
  ["4", "5", "6"].forEach(digit);
  key(".", () => type("."), { name: "Point" });
  ["1", "2", "3", "0"].forEach(digit);
  key("abc", own, { name: "The phone's own keys", sort: "quiet own" });
  form.append(pad);
  inputs.forEach((one) => one.setAttribute("inputmode", "none"));
  const show = (at) => {
    input = at;
    pad.hidden = !at;
    document.documentElement.classList.toggle("keyed", Boolean(at));
  };
  form.addEventListener("focusin", (event) => {
    if (!pad.isConnected || pad.contains(event.target)) return;
    if (inputs.includes(event.target)) show(event.target);
    else if (event.target.matches("input, textarea")) show(null);
  });
  form.addEventListener("partway:row", (event) => {
    if (pad.isConnected) show(event.detail);
  });
})();
