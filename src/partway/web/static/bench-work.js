// One operation a screen, one piece on it after another. The address says where one is (#step-2, #step-2.3), so that Back
// goes back. Everything is in one form, which the server takes whole; without this all of it stands below each other.
"use strict";
(() => {
  const form = document.querySelector("form[data-work]");
  if (!form) return;
  const sections = [...form.querySelectorAll("section.step")];
  const end = sections[sections.length - 1];
  const recorded = form.querySelector(".recorded");
  const rowsOf = (section) => (section === end ? [] : [...section.querySelectorAll("[data-row]")]);
  const tickOf = (section) => (section.dataset.tick ? form.elements[section.dataset.tick] : null);
  const weighed = (place) => [...place.querySelectorAll("input[data-keys]")].some((one) => one.value.trim());
  const find = form.querySelector("[data-clock]")?.dataset.clock;
  let at = { section: sections[0], row: 0 };

  const tick = (section, done) => {
    const box = tickOf(section);
    if (!box || box.checked === done) return;
    box.checked = done;
    box.dispatchEvent(new Event("change", { bubbles: true }));
  };
  const isDone = (section) => (tickOf(section) ? tickOf(section).checked : weighed(section));
  const begin = () => sections.forEach((section) => tickOf(section) && (tickOf(section).checked = false));

  const named = (hash) => {
    const step = /^#step-(end|\d+)(?:\.(\d+))?$/.exec(hash);
    if (step) {
      const section = document.getElementById(`step-${step[1]}`);
      return section && { section, row: Math.max(0, (step[2] || 1) - 1) };
    }
    const field = hash.length > 1 && document.getElementById(hash.slice(1));
    const section = field && field.closest("section.step");
    return section && { section, row: Math.max(0, rowsOf(section).findIndex((row) => row.contains(field))), field };
  };
  const refused = () => {
    const bad = form.querySelector(".bad");
    const section = bad?.closest("section.step");
    if (section) return { section, row: Math.max(0, rowsOf(section).indexOf(bad)) };
    return form.querySelector(":scope > .wrong, :scope > .question") && { section: end, row: 0 };
  };
  const address = (place) => (place.row ? `#${place.section.id}.${place.row + 1}` : `#${place.section.id}`);

  // Whoever weighed a piece has done the step that it came out of, and those before it, however the balance was reached.
  const weighedIsDone = () => {
    if (form.hasAttribute("data-right")) return;
    const last = sections.reduce((found, section, n) => (section !== end && weighed(section) ? n : found), -1);
    sections.slice(0, last + 1).forEach((section) => tick(section, true));
  };
  const inHand = () => {
    form.querySelectorAll("[data-in-hand] [data-row]").forEach((row) => {
      const [since, until] = [row.dataset.since, row.dataset.until].map((n) => sections[Number(n) - 1]);
      row.hidden = !weighed(row) && !(since && isDone(since) && until && !isDone(until));
    });
  };
  const show = (place) => {
    at = place;
    const rows = rowsOf(place.section);
    const list = recorded && !location.hash && !refused();
    if (recorded) recorded.hidden = !list;
    sections.forEach((section) => section.classList.toggle("here", !list && section === place.section));
    rows.forEach((row, n) => row.classList.toggle("here", n === place.row));
    place.section.classList.toggle("later", place.row > 0);
    if (list) return form.dispatchEvent(new CustomEvent("partway:row", { detail: null }));
    const input = place.field || rows[place.row]?.querySelector("input[data-keys]") || null;
    form.dispatchEvent(new CustomEvent("partway:row", { detail: place.section === end ? null : input }));
    if (place.section === end) {
      weighedIsDone();
      inHand();
      form.dispatchEvent(new CustomEvent("partway:balance"));
    }
    if (input && form.dataset.unit) input.focus({ preventScroll: true });
    if (input && input.value) input.select();
    window.scrollTo(0, 0);
    if (find) {
      const back = location.pathname + location.search + address(place);
      document.dispatchEvent(new CustomEvent("partway:step", { detail: { find, back } }));
    }
  };
  const go = (place) => {
    // Shown at once: a second tap that comes before the browser tells of a new address would mean the place of before.
    if (address(place) !== location.hash) history.pushState(null, "", address(place));
    show(place);
  };
  const next = () => {
    if (at.section === end) return;
    if (form.hasAttribute("data-right")) return go({ section: end, row: 0 });
    if (at.row + 1 < rowsOf(at.section).length) return go({ section: at.section, row: at.row + 1 });
    tick(at.section, true);
    go({ section: sections[sections.indexOf(at.section) + 1], row: 0 });
  };

  form.classList.add("by-step");
  document.body.classList.add("at-work");
  if (form.hasAttribute("data-fresh") && !form.dataset.back) begin();
  form.addEventListener("partway:discarded", () => {
    if (form.hasAttribute("data-fresh")) begin();
    go({ section: sections[0], row: 0 });
  });
  form.addEventListener("partway:next", next);
  form.addEventListener("click", (event) => {
    if (event.target.closest("[data-next]")) {
      event.preventDefault();
      next();
    } else if (event.target.closest("[data-stop]")) {
      event.preventDefault();
      go({ section: end, row: 0 });
    }
  });
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || at.section === end || !event.target.matches("input")) return;
    event.preventDefault(); // one piece further, not the whole form sent
    next();
  });
  form.addEventListener("change", () => at.section === end && inHand());
  window.addEventListener("hashchange", () => {
    const place = named(location.hash);
    show(place || { section: sections[0], row: 0 });
  });

  const kept = form.dataset.at && ["", "#step-1"].includes(location.hash) ? named(form.dataset.at) : null;
  const first = refused() || kept || named(location.hash) || { section: sections[0], row: 0 };
  if (kept && first === kept) history.replaceState(null, "", form.dataset.at);
  show(first);
})();
