// What is needed less often, each folded: the load of a haul under way, finds, bins, tables, all cautions.
import { bdi, el, fold, heading, link, p, table } from "./dom.js";
import { careful, cautionCard } from "./cards.js";

const TICKS = "partway pocket ticks ";
const ticked = (haul) => { try { return new Set(JSON.parse(localStorage.getItem(TICKS + haul))); } catch { return new Set(); } };
const load = (state, haul) => {
  const done = ticked(haul.id);
  const tick = (id) => (event) => {
    if (event.target.checked) done.add(id);
    else done.delete(id);
    try { localStorage.setItem(TICKS + haul.id, JSON.stringify([...done])); } catch { /* ticked for as long as the page is open */ }
  };
  return fold(haul.name, careful(state, haul.hazards), p(bdi(haul.words)), haul.stops.map((stop) => [
    el("h2", {}, bdi(stop.name)), stop.words && p(bdi(stop.words)),
    (stop.phone || stop.geo) && el("p", { class: "reaches" }, stop.phone && el("a", { class: "reach", href: `tel:${stop.phone}` }, bdi(stop.phone)), stop.geo && el("a", { class: "reach", href: stop.geo }, "Map")),
    stop.lines.map((lot) => el("label", { class: "tick load" }, el("input", { type: "checkbox", checked: done.has(lot.id), onchange: tick(lot.id) }), el("span", {}, bdi(lot.words)))),
  ]));
};
const items = (list, more) => el("ul", { class: "lines" }, list.map((one) => el("li", { class: "item" }, p(el("b", {}, bdi(one.name)), el("br"), bdi(one.words)), more?.(one))));
const looked = (one) => fold(one.title, one.first.length > 0 && el("div", { class: "caution" }, one.first.map((line) => p(bdi(line)))), table(one.title, one.columns, one.rows), one.notes.map((note) => p(bdi(note))));
export const more = (state) => {
  const picturing = (sort) => (one) => p(link(["record", "pictured", one.id, sort], { class: "button quiet" }, "Photograph it"));
  const { hauls, finds, bins, tables, cards } = state.data;
  return [
    heading("More"),
    hauls.map((haul) => load(state, haul)),
    fold("What can hurt", cards.map(cautionCard)),
    fold(`Finds that wait (${finds.length})`, items(finds, picturing("find"))),
    fold(`Bins (${bins.length})`, items(bins, picturing("bin"))),
    tables.map(looked),
    el("p", { class: "reaches" }, el("a", { class: "reach", href: "/pocket.html" }, "All of it on one page, to print or to save"), el("a", { class: "reach", href: "/" }, "The desk's own pages")),
  ];
};
