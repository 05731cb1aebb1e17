// What was typed is looked up as it is typed, at the place the page names (else the curb); without this the button
// does the same.
"use strict";
const box = document.getElementById("q");
const found = document.getElementById("found");
if (box && found) {
  const from = found.dataset.from || "/curb";
  let asked = 0;
  let waiting = 0;
  const look = async () => {
    const mine = ++asked;
    const answer = await fetch(`${from}?part=found&q=${encodeURIComponent(box.value)}`, { headers: { accept: "text/html" } });
    if (!answer.ok || mine !== asked) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (mine === asked) found.replaceChildren(...page.body.childNodes);
  };
  box.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => look().catch(() => {}), 80);
  });
  if ("touched" in box.dataset) look().catch(() => {});
}
