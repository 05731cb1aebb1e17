// A ticket: its sum fetched while it is typed, and the next mass by the keyboard's own key. All sums are the server's.
"use strict";
(() => {
  const form = document.querySelector("form[data-sum]");
  if (!form) return;
  try {
    // A draft with something in a later row than there is: the page again, with as many.
    const read = (more) => JSON.parse(localStorage.getItem(`partway draft ${form.dataset.draft}${more}`))?.fields ?? [];
    const kept = [...read(""), ...read(" of before")];
    const rows = kept.filter(([name, value]) => value && /^(grade|mass)_\d+$/.test(name)).map(([name]) => Number(name.split("_")[1]) + 1);
    const most = Math.max(0, ...rows);
    if (most > Number(form.elements.rows.value) && !("read" in form.dataset)) location.replace(`${location.pathname}?rows=${most}`);
  } catch {
    // Nothing was kept, or it cannot be read: the page stays as it is.
  }
  const place = document.getElementById("sum");
  let waiting = 0;
  let latest = 0;
  const ask = async () => {
    const mine = ++latest;
    try {
      const answer = await fetch(form.dataset.sum, { method: "POST", body: new FormData(form) });
      if (!answer.ok || mine !== latest) return;
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      place.replaceChildren(...page.querySelector("[role=group]").childNodes);
      page.querySelectorAll("[data-made]").forEach((made) => {
        form.querySelector(`[data-made="${made.dataset.made}"]`)?.replaceWith(document.adoptNode(made));
      });
    } catch {
      // No answer now: the sum stays as it was, and the ticket can still be recorded.
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(ask, 400);
  });
  const masses = [...form.querySelectorAll("[name^=mass_]")];
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !masses.includes(event.target)) return;
    const next = masses.slice(masses.indexOf(event.target) + 1).find((mass) => !mass.value);
    if (!next) return;
    event.preventDefault();
    next.focus();
  });
  form.addEventListener("partway:discarded", ask);
  if (masses.some((mass) => mass.value)) ask();
})();
