// The bench: the clock that fills the minutes in, and the balance fetched while masses are typed. All sums are the server's.
"use strict";
(() => {
  const form = document.querySelector("form[data-balance]");
  if (!form) return;

  const place = document.getElementById("balance");
  let waiting = 0;
  let latest = 0;
  const ask = async () => {
    const mine = ++latest;
    try {
      const answer = await fetch(form.dataset.balance, { method: "POST", body: new FormData(form) });
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
    waiting = setTimeout(ask, 400);
  };
  form.addEventListener("input", soon);
  const button = form.querySelector("[data-check]");
  button.addEventListener("click", (event) => {
    event.preventDefault();
    ask();
  });

  const clock = form.querySelector("[data-clock]");
  const shown = clock.querySelector(".time");
  const start = clock.querySelector("[data-start]");
  const minutes = form.querySelector("[name='open-minutes']");
  const key = `partway clock ${clock.dataset.clock}`;
  let state = { since: 0, before: 0 }; // milliseconds
  try {
    state = JSON.parse(localStorage.getItem(key)) || state;
  } catch {
    // A clock that was not kept begins anew.
  }
  const passed = () => state.before + (state.since ? Date.now() - state.since : 0);
  const show = () => {
    const seconds = Math.floor(passed() / 1000);
    shown.textContent = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
    start.textContent = state.since ? "Stop the clock" : passed() ? "Go on" : "Start the clock";
  };
  const keep = () => {
    localStorage.setItem(key, JSON.stringify(state));
    show();
  };
  const stop = () => {
    state = { since: 0, before: passed() };
    minutes.value = Math.max(1, Math.round(state.before / 60000));
  };
  start.addEventListener("click", () => {
    if (state.since) {
      stop();
    } else {
      state = { since: Date.now(), before: state.before };
    }
    keep();
  });
  clock.querySelector("[data-reset]").addEventListener("click", () => {
    state = { since: 0, before: 0 };
    keep();
  });
  form.addEventListener("submit", (event) => {
    if (event.submitter === button) return;
    if (state.since) stop();
    localStorage.removeItem(key);
  });
  clock.hidden = false;
  show();
  setInterval(show, 1000);
})();
