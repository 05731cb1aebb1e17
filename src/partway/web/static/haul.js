// A search is watched without loading the page again, and a slider that was let go asks for its plan. Without this the
// page comes again by itself every two seconds, and the button does what letting go does.
"use strict";
const say = (place, said) => {
  for (const [key, text] of Object.entries(said)) {
    const word = place.querySelector(`[data-said="${key}"]`);
    if (word && word.textContent !== text) word.textContent = text;
  }
};
const rest = (ms) => new Promise((wake) => setTimeout(wake, ms));
const watch = async (place) => {
  while (place.isConnected) {
    await rest(600);
    const answer = await fetch(place.dataset.watch, { headers: { accept: "application/json" } });
    if (!answer.ok) return location.reload();
    const now = await answer.json();
    if (now.over) return location.reload();
    say(place, now.said);
  }
};
const sliders = document.querySelector("form.sliders");
const outcome = document.getElementById("outcome");
if (sliders && outcome) {
  let asked = 0;
  const address = () => `${sliders.getAttribute("action")}?${new URLSearchParams(new FormData(sliders))}`;
  const ask = async (mine) => {
    const answer = await fetch(address(), { headers: { accept: "text/html" } });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.getElementById("outcome");
    if (mine !== asked || !fresh) return;
    outcome.replaceChildren(...fresh.childNodes);
    if (fresh.dataset.again) {
      await rest(400);
      if (mine === asked) await ask(mine);
    } else {
      history.replaceState(null, "", address());
    }
  };
  sliders.addEventListener("input", (event) => {
    const shown = sliders.querySelector(`output[for="${event.target.id}"]`);
    if (shown) shown.textContent = event.target.value;
  });
  sliders.addEventListener("change", (event) => {
    if (event.target.name === "lot") return sliders.requestSubmit();
    asked += 1;
    ask(asked).catch(() => sliders.requestSubmit());
  });
  const early = sliders.querySelector("[data-touched]"); // moved before this script was there
  if (early) ["input", "change"].forEach((sort) => early.dispatchEvent(new Event(sort, { bubbles: true })));
  else if (outcome.dataset.again) ask(asked).catch(() => {});
} else {
  const place = document.querySelector("[data-watch]");
  if (place) watch(place).catch(() => {});
}
