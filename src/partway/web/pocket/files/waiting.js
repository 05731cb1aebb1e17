// What waits for the desk, in its order, and what the desk said of it. Nothing leaves here by itself but what it took.
import { bdi, button, el, fold, heading, link, p } from "./dom.js";
import { formFor } from "./record.js";
import { MADE, about, change, packed } from "./queue.js";
import { shown } from "./photo.js";
import { drop } from "./store.js";

const day = (entry) => new Date(entry.typed).toLocaleString("en", { weekday: "long", day: "numeric", month: "long", hour: "numeric", minute: "2-digit" });
const answer = (state, entry, value) => async () => {
  await change(entry, answeredBody(entry, value));
  await state.handBack(true);
};
// What the desk asked goes into the body under the field it asked about; of what was said, into its answers.
const answeredBody = ({ what, body, answer: { field } }, value) =>
  what === "said" ? { ...body, answers: [...(body.answers || []).filter((one) => one.option !== field), { option: field, answer: value }] } : { ...body, [field]: value };
// An entry, and those that speak of the find or ticket it is about: without it nothing could come of them.
const withIt = (state, entry) => state.waiting.filter((one) => one === entry || about(one, entry));
const sure = (state, entry) => {
  const ask = button("Drop it", () => {
    const gone = withIt(state, entry), also = gone.length - 1;
    ask.replaceWith(button(`Really drop it${also ? ` and the ${also} about it` : ""}: nowhere else`, async () => {
      await drop(gone);
      await state.recount();
      state.show();
    }));
  }, { class: "quiet" });
  return ask;
};
const other = (state, entry) => state.data && entry.workspace !== "" && entry.workspace !== state.data.workspace;
const row = (state, entry) => {
  const said = entry.answer;
  return el("li", { class: said ? `is-${said.outcome}` : "" },
    el("p", {}, el("b", {}, bdi(entry.words)), el("br"), el("small", {}, day(entry))),
    entry.photo && shown(entry.photo, entry.words),
    other(state, entry) && el("p", { class: "error" }, "Of another ledger: it waits until this phone opens that one. ", entry.photo ? "Or drop it." : "Save it as a file, or drop it."),
    said && el("p", { class: "error" }, bdi(said.words)),
    said?.more.map((line) => p(bdi(line))),
    said?.outcome === "asked" && el("div", { class: "answers" }, said.choices.map((one) => button(bdi(one.words), answer(state, entry, one.value), { class: "quiet big" }))),
    el("div", { class: "row" }, link(["waiting", entry.id], { class: "button quiet" }, "Change it"), sure(state, entry),
      MADE[entry.what] && link(["record", "pictured", `@${entry.id}`, MADE[entry.what]], { class: "button quiet" }, "Photograph it")));
};
const written = (state) => state.waiting.filter((entry) => !entry.photo);
const APART = " Photographs are not in it: they stay here until this phone reaches its own desk, or until they are dropped.";
const file = (state) => {
  const groups = [...new Set(written(state).map((entry) => entry.workspace))];
  for (const workspace of groups) {
    const mine = written(state).filter((entry) => entry.workspace === workspace);
    const told = new Blob([JSON.stringify(packed(workspace, mine))], { type: "application/json" });
    const to = el("a", { href: URL.createObjectURL(told), download: `pocket-${mine[0].day}.json` });
    document.body.append(to);
    to.click();
    to.remove();
  }
};
const editing = (state, entry) => {
  const form = state.data?.forms.find((one) => one.what === entry.what);
  if (!form) return [heading(entry.words), p("Open this page where the desk can be reached, then change it.")];
  return [heading(form.title), entry.answer && el("div", { class: "wrong" }, p(bdi(entry.answer.words))), formFor(state, form, { entry }), p(link(["waiting"], { class: "button quiet" }, "As it was"))];
};
export const waitingScreen = (state, [id]) => {
  const entry = id && state.waiting.find((one) => one.id === id);
  if (entry) return editing(state, entry);
  const count = state.waiting.length, done = [...state.answered].reverse();
  return [
    heading(count ? (count === 1 ? "One entry waits" : `${count} entries wait`) : "Nothing waits"),
    !count && p("All that was recorded on this phone is in the ledger."),
    count > 0 && button("Hand back", () => state.handBack(true), { class: "big", disabled: state.handing }),
    count > 0 && el("ul", { class: "queue" }, state.waiting.map((one) => row(state, one))),
    written(state).length > 0 && [button("Save as a file", () => file(state), { class: "quiet" }), p("For a desk that this phone cannot reach: ", el("kbd", {}, "partway take-back FILE"), ". What is in the file waits here too, and is recorded once.", count > written(state).length && APART)],
    done.length > 0 && fold("What the desk took", p("One of these is wrong? Take it back at the desk: Books, Ledger."), el("ul", { class: "lines" }, done.map((one) =>
      el("li", { class: "took" }, p(el("b", {}, bdi(one.answer.words)), el("br"), el("small", {}, day(one))), one.answer.more.map((line) => p(bdi(line))))))),
  ];
};
