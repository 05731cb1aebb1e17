// The test key: the desk worked out every question and every answer; here they are only walked.
import { bdi, el, heading, link, p } from "./dom.js";
import { careful } from "./cards.js";

const choose = (name, hint, list) => [
  heading(name), hint && p(hint),
  el("div", { class: "answers" }, list),
];
const never = (tree) => tree.never.length > 0 && el("section", { class: "cautions", "aria-label": "Never" },
  el("div", { class: "caution" }, el("p", { class: "first" }, el("b", {}, "Never to find out:")), el("ul", {}, tree.never.map((line) => el("li", {}, bdi(line))))));
const step = (words, to) => link(to, { class: "button big quiet" }, bdi(words));
const again = (path) => el("div", { class: "row" },
  path.length > 0 && link(["key", ...path.slice(0, -1)], { class: "button quiet" }, "One step back"),
  path.length > 1 && link(["key"], { class: "button quiet" }, "From the beginning"));
const walk = (tree, start, path) => path.reduce((at, n) => tree.nodes[at]?.answers?.[n]?.[1] ?? at, start);
// The address holds the way so far: where it comes from, its mass, then the number of each answer.
export const key = (state, path) => {
  const tree = state.key;
  if (!tree) return [heading("What is it?"), p("The test key is not on this phone yet: open this page once where the desk can be reached.")];
  const [from, weight, ...ways] = path;
  const whence = tree.whence.find((one) => one.id === from) || (tree.whence.length === 1 ? tree.whence[0] : null);
  if (!whence) return [never(tree), choose("Where does it come from?", "", tree.whence.map((one) => step(one.name, ["key", one.id])))];
  const mass = whence.masses.find((one) => one.id === weight);
  if (!mass) return [never(tree), choose("What does it weigh?", "", whence.masses.map((one) => step(one.words, ["key", whence.id, one.id]))), again(path)];
  const node = tree.nodes[walk(tree, mass.node, ways)];
  if (node.end !== undefined)
    return [heading("It is"), careful(state, node.careful), el("p", { class: "verdict" }, bdi(node.end)), node.more.map((line) => p(bdi(line))), again(path)];
  return [
    heading(node.name), careful(state, node.careful), el("p", { class: "lead" }, bdi(node.ask)),
    el("div", { class: "answers" }, node.answers.map(([words], n) => step(words, ["key", ...path, n]))),
    again(path),
  ];
};
