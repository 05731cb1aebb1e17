// What can hurt stands before what pays: the first step of each card in sight, the rest of it folded.
import { bdi, el, fold } from "./dom.js";

const rest = (card) => card.more.map(([title, words]) => el("p", {}, el("b", { class: "sort" }, `${title}: `), bdi(words)));
export const cautionCard = (card) =>
  el("div", { class: "caution" },
    el("h2", {}, bdi(card.title)),
    el("p", { class: "first" }, bdi(card.first)),
    fold("Why, what never, who may", rest(card)));
// One box: the first step of the first `loud` cards, then the names of all others, which lead to theirs; their order is
// the desk's, what is never opened first.
export const careful = (state, ids, loud = 2) => {
  const cards = ids.map((id) => state.data.cards.find((card) => card.id === id)).filter(Boolean);
  if (!cards.length) return null;
  const also = cards.slice(loud);
  const names = also.map((card, n) => [n > 0 && ", ", bdi(n ? card.title.toLowerCase() : card.title)]);
  return el("section", { class: "cautions", "aria-label": "Careful" },
    el("div", { class: "caution" },
      cards.slice(0, loud).map((card) => el("p", { class: "first" }, el("b", {}, bdi(card.title), ": "), bdi(card.first))),
      fold(also.length ? el("span", {}, "Also careful: ", names) : "Why, what never, who may",
        [...also, ...cards.slice(0, loud)].map((card, n) => [el("h2", {}, bdi(card.title)), n < also.length && el("p", { class: "first" }, bdi(card.first)), rest(card)]))));
};
