// Worth lifting? A name, or what it is mostly made of; what can hurt, then the verdict in each condition.
import { bdi, el, fold, heading, link, p } from "./dom.js";
import { daysSince, old } from "./days.js";
import { careful } from "./cards.js";
import { looked } from "./names.js";

const MOST = 7; // names in sight
const search = (state) => {
  const list = el("ul", { class: "lines", "aria-label": "Found" });
  const none = el("p", { class: "soft", role: "status" });
  const field = el("input", {
    type: "search", id: "q", autocomplete: "off", autocapitalize: "none", spellcheck: "false", dir: "auto", enterkeyhint: "search",
    value: state.sought || "", oninput: () => look(),
  });
  const look = () => {
    state.sought = field.value;
    const found = looked(state.data.kinds, field.value, MOST);
    list.replaceChildren(...found.map((kind) =>
      el("li", {}, link(["curb", kind.id], { class: "line" }, el("b", {}, bdi(kind.name)), kind.names.length > 0 && el("small", {}, "also called ", bdi(kind.names.join(", ")))))));
    none.textContent = field.value.trim() && !found.length ? "No kind goes by that name. What is it mostly made of?" : "";
  };
  look();
  return [
    heading("Worth lifting?"),
    el("form", { role: "search", onsubmit: (event) => event.preventDefault() }, el("label", { for: "q" }, "What is it? Two letters will do."), field),
    list, none,
    p(link(["curb", "", "made-of"], { class: "button quiet" }, "None of these: what it is made of")),
  ];
};
const verdict = (state, one, large) => {
  const stale = old(daysSince(state.data.on)) ? "Old: " : "";
  const figures = [one.brings, one.range].filter(Boolean).join(", ");
  const rest = [one.hour, one.minutes, one.mass, one.litres].filter(Boolean);
  return el("section", { class: `answer is-${one.verdict}` },
    p(bdi(one.words)),
    el("p", { class: large ? "verdict" : "lead" }, el("b", {}, bdi(stale + one.says))),
    figures && p(bdi(figures)),
    rest.length > 0 && el("p", { class: "soft" }, bdi(rest.join(" · "))),
    one.notes.length > 0 && fold("What it hangs on", one.notes.map((note) => p(bdi(note)))));
};
const one = (state, kind) => [
  heading(kind.name),
  careful(state, kind.hazards),
  [...kind.conditions].sort((a, b) => (b.condition === "unknown") - (a.condition === "unknown")).map((each, n) => verdict(state, each, n === 0)),
  kind.note && p(bdi(kind.note)),
  el("div", { class: "row" },
    link(["record", "found", kind.id], { class: "button big" }, "Take it"),
    link(["curb"], { class: "button big quiet" }, "Another thing")),
];
const madeOf = (state) => [
  heading("Mostly made of"),
  p(bdi(state.data.unknown.note)),
  el("ul", { class: "lines" }, state.data.unknown.rows.map((row) =>
    el("li", {}, link(["curb", "", "made-of", row.id], { class: "line" }, el("b", {}, bdi(row.name)))))),
  p(link(["curb"], { class: "button quiet" }, "Back to the names")),
];
const masses = (state, row) => [
  heading(row.name),
  careful(state, row.hazards),
  p(bdi(state.data.unknown.note)),
  state.data.unknown.masses.map((mass, n) => row.cells[n] && el("section", { class: "answer" },
    el("p", { class: "soft" }, bdi(mass)),
    el("p", { class: "lead" }, el("b", {}, bdi((old(daysSince(state.data.on)) ? "Old: " : "") + row.cells[n].says))),
    el("p", { class: "soft" }, bdi([row.cells[n].brings, row.cells[n].range, row.cells[n].hour].filter(Boolean).join(" · "))))),
  p(link(["curb", "", "made-of"], { class: "button quiet" }, "Another material")),
];
export const curb = (state, [id, how, row]) => {
  if (how) {
    const found = state.data.unknown.rows.find((each) => each.id === row);
    return found ? masses(state, found) : madeOf(state);
  }
  const kind = id && state.data.kinds.find((each) => each.id === id);
  return kind ? one(state, kind) : search(state);
};
