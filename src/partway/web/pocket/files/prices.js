// The price sheet, buyer by buyer or grade by grade, each price with the day it was said and how old that is by now.
import { bdi, el, fold, heading, link, p } from "./dom.js";
import { daysSince, old, worthALook } from "./days.js";
import { folded } from "./names.js";

const days = (on) => {
  if (!on) return "";
  const count = daysSince(on);
  return count === 0 ? "today" : count === 1 ? "yesterday" : `${count} days old`;
};
const price = (name, line) =>
  el("li", { class: "price" }, el("b", {}, bdi(name)), " ", el("span", {}, bdi(line.words)), " ",
    line.on && el("small", { class: worthALook(daysSince(line.on)) ? "ageing" : "" }, bdi(line.day), `, ${days(line.on)}${old(daysSince(line.on)) ? ": old" : ""}`));
const ofBuyer = (state, column) => [
  heading(column.name),
  p(bdi(column.about.join(" · "))),
  el("ul", { class: "lines" }, column.lines.filter((line) => line.on).map((line) => price(line.name, line))),
  column.lines.some((line) => !line.on) && fold("What it does not take", el("ul", { class: "lines" }, column.lines.filter((line) => !line.on).map((line) => price(line.name, line)))),
  el("div", { class: "row" },
    link(["record", "quoted", column.buyer], { class: "button big" }, "A price heard here"),
    link(["prices"], { class: "button big quiet" }, "All buyers")),
];
export const prices = (state, [id]) => {
  const column = id && state.data.sheet.find((each) => each.buyer === id);
  if (column) return ofBuyer(state, column);
  const list = el("ul", { class: "lines", "aria-label": "Who pays what" });
  const look = () => {
    const typed = folded(field.value);
    const lines = state.data.sheet.flatMap((each) => each.lines.map((line) => [each.name, line]));
    const found = typed ? lines.filter(([, line]) => ` ${folded(line.name)}`.includes(` ${typed}`)) : [];
    list.replaceChildren(...found.map(([name, line]) => price(`${line.name}: ${name}`, line)));
  };
  const field = el("input", { type: "search", id: "grade", autocomplete: "off", autocapitalize: "none", spellcheck: "false", dir: "auto", oninput: look });
  return [
    heading("Prices"),
    el("form", { role: "search", onsubmit: (event) => event.preventDefault() }, el("label", { for: "grade" }, "A grade, over all buyers"), field),
    list,
    el("ul", { class: "lines" }, state.data.sheet.map((each) =>
      el("li", {}, link(["prices", each.buyer], { class: "line" }, el("b", {}, bdi(each.name)), each.about.length > 0 && el("small", {}, bdi(each.about[0])))))),
    !state.data.sheet.length && p("No buyer has told a price yet."),
  ];
};
