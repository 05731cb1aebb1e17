// The clock of the bench, kept with its find. One pair of hands: where one starts, the others stop.
"use strict";
(() => {
  const PREFIX = "partway clock ";
  const NONE = { since: 0, before: 0, name: "", back: "/bench" };
  const read = (find) => {
    try {
      return { ...NONE, ...JSON.parse(localStorage.getItem(PREFIX + find)) };
    } catch {
      return NONE; // a clock that was not kept begins anew
    }
  };
  const write = (find, state) => {
    try {
      localStorage.setItem(PREFIX + find, JSON.stringify(state));
    } catch {
      // It runs while this page is open.
    }
    seen.set(find, state);
  };
  const seen = new Map(); // where nothing may be kept
  const now = (find) => seen.get(find) || read(find);
  const all = () => {
    try {
      return Object.keys(localStorage).filter((name) => name.startsWith(PREFIX)).map((name) => name.slice(PREFIX.length));
    } catch {
      return [...seen.keys()];
    }
  };
  const passed = (state) => state.before + (state.since ? Date.now() - state.since : 0);
  const said = (state) => {
    const seconds = Math.floor(passed(state) / 1000);
    return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
  };
  const forget = (find) => {
    seen.delete(find);
    try {
      localStorage.removeItem(PREFIX + find);
    } catch {
      // Nothing was kept.
    }
  };

  const places = [...document.querySelectorAll("[data-clock], [data-clock-here]")];
  const findOf = (place) => place.dataset.clock || place.dataset.clockHere;
  const backOf = (state) => (state.back.startsWith("/bench") ? state.back : "/bench");
  const bar = document.querySelector("[data-clock-bar]");
  const put = (place, words) => {
    if (place && place.textContent !== words) place.textContent = words;
  };
  // A line for each clock with time on it.
  const list = document.querySelector("[data-clocks]");
  const lines = new Map();
  const line = (find, state) => {
    const [item, link, name, about] = ["li", "a", "b", "small"].map((tag) => document.createElement(tag));
    link.className = "line";
    link.setAttribute("href", backOf(state));
    name.textContent = state.name || "A find";
    link.append(name, about);
    item.append(link);
    list.prepend(item);
    lines.set(find, about);
    list.closest("[data-under-way]").hidden = false;
  };
  const tell = () => {
    if (!list) return;
    for (const find of all()) {
      const state = now(find);
      if (!passed(state)) continue;
      if (!lines.has(find)) line(find, state);
      put(lines.get(find), `${said(state)} at the bench, the clock ${state.since ? "runs" : "stands"}`);
    }
  };
  const show = () => {
    tell();
    for (const place of places) {
      const state = now(findOf(place));
      put(place.querySelector(".time"), said(state));
      const words = state.since ? "Stop the clock" : passed(state) ? "Go on" : "Start the clock";
      const start = place.querySelector("[data-start]");
      put(start, place.dataset.clock ? words : words.replace(" the clock", ""));
      if (!place.dataset.clock) start.setAttribute("aria-label", words);
    }
    const running = all().find((find) => now(find).since);
    const state = running && now(running);
    const here = places.some((place) => findOf(place) === running) && document.body.classList.contains("at-work");
    bar.hidden = !state || here;
    document.documentElement.classList.toggle("clocked", !bar.hidden);
    if (bar.hidden) return;
    bar.setAttribute("href", backOf(state));
    put(bar.querySelector("b"), state.name || running);
    put(bar.querySelector(".time"), said(state));
  };
  const stop = (find) => {
    const state = now(find);
    if (state.since) write(find, { ...state, since: 0, before: passed(state) });
  };
  const start = (find, about, at = Date.now()) => {
    all().filter((other) => other !== find).forEach(stop);
    const state = now(find);
    write(find, { ...state, since: state.since || at, name: about.name || state.name, back: about.back || state.back });
  };
  const fillIn = (find) => {
    for (const place of places.filter((one) => findOf(one) === find)) {
      const minutes = place.closest("form")?.querySelector("[name='open-minutes']");
      if (!minutes) continue;
      minutes.value = Math.max(1, Math.round(passed(now(find)) / 60000));
      minutes.dispatchEvent(new Event("input", { bubbles: true }));
      return;
    }
  };

  try {
    const done = JSON.parse(localStorage.getItem("partway done")) || []; // by early.js
    localStorage.removeItem("partway done");
    done.filter((key) => key.startsWith("open:")).forEach((key) => forget(key.split(":")[1]));
  } catch {
    // Nothing was kept.
  }
  try {
    const tapped = JSON.parse(localStorage.getItem("partway tapped")); // by early.js
    localStorage.removeItem("partway tapped");
    if (tapped) start(tapped.find, tapped, tapped.at);
  } catch {
    // Nothing was kept.
  }
  for (const place of places) {
    const find = findOf(place);
    place.querySelector("[data-start]").addEventListener("click", () => {
      if (now(find).since) {
        stop(find);
        fillIn(find);
      } else {
        start(find, place.dataset);
      }
      show();
    });
    place.querySelector("[data-reset]")?.addEventListener("click", () => {
      write(find, { ...now(find), since: 0, before: 0 });
      show();
    });
    place.hidden = false;
  }
  document.addEventListener("submit", (event) => {
    const place = places.find((one) => one.closest("form") === event.target);
    if (!place || event.submitter?.hasAttribute("data-check") || !now(findOf(place)).since) return;
    stop(findOf(place));
    fillIn(findOf(place));
  }, { capture: true });
  document.addEventListener("partway:step", (event) => {
    const { find, back } = event.detail;
    if (passed(now(find))) write(find, { ...now(find), back });
    show();
  });
  window.addEventListener("storage", () => {
    seen.clear();
    show();
  });
  show();
  setInterval(show, 1000);
})();
