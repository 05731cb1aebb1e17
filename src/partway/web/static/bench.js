// The bench: the balance fetched while masses are typed. All sums are the server's.
"use strict";
(() => {
  const form = document.querySelector("form[data-balance]");
  if (!form) return;

  const place = document.getElementById("balance");
  let waiting = 0;
  let latest = 0;
  let leaving = new AbortController();
  const ask = async () => {
    const mine = ++latest;
    try {
      const asked = { method: "POST", body: new FormData(form), signal: leaving.signal };
      const answer = await fetch(form.dataset.balance, asked);
      if (answer.ok && mine === latest) {
        const page = new DOMParser().parseFromString(await answer.text(), "text/html");
        const open = place.querySelector("details")?.open;
        place.replaceChildren(...page.body.childNodes);
        const details = place.querySelector("details");
        if (open && details) details.open = true;
      }
    } catch {
      // No answer now: the button still works.
    }
  };
  const soon = () => {
    clearTimeout(waiting);
    if (!place.parentElement.offsetParent) return; // not on the screen: asked for once it is
    waiting = setTimeout(ask, 400);
  };
  form.addEventListener("input", soon);
  form.addEventListener("partway:balance", soon);
  if (form.querySelector("[data-touched]")) soon();
  form.addEventListener("submit", () => {
    clearTimeout(waiting); // once it is recorded there is nothing left to balance
    leaving.abort();
    leaving = new AbortController();
  });
  const button = form.querySelector("[data-check]");
  button.addEventListener("click", (event) => {
    event.preventDefault();
    ask();
  });
})();
