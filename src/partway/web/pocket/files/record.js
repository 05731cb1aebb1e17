// Recording: a form for each thing that may be said. What is kept goes into the queue of this phone, and from there to the
// desk, which decides. What is typed and not kept yet stays too, until it is.
import { bdi, el, heading, link, p } from "./dom.js";
import { careful } from "./cards.js";
import { fieldsOf } from "./fields.js";
import { Refusal, add, change } from "./queue.js";

const HERE = { found: { source: "curb" } }; // of what is taken where its verdict is read, as at the desk
const DRAFT = "partway pocket draft ";
const draft = {
  read: (what) => { try { return JSON.parse(localStorage.getItem(DRAFT + what)) || {}; } catch { return {}; } },
  keep: (what, body) => { try { localStorage.setItem(DRAFT + what, JSON.stringify(body)); } catch { /* the page has it still */ } },
  forget: (what) => { try { localStorage.removeItem(DRAFT + what); } catch { /* nothing was kept */ } },
};
const hazards = (state, body) => {
  const { kinds, finds, bins } = state.data;
  const one = kinds.find((kind) => kind.id === body.kind) || finds.find((find) => find.id === body.find) || bins.find((bin) => bin.id === body.bin);
  return one ? careful(state, one.hazards) : null;
};
export const formFor = (state, form, { entry = null, given = {}, usual = {} } = {}) => {
  const fields = fieldsOf(entry ? form.fields.filter((one) => one.sort !== "photo") : form.fields, state); // one taken stays
  const first = el("div", {});
  const show = () => first.replaceChildren(...[hazards(state, fields.body())].filter(Boolean));
  fields.set(entry ? entry.body : { ...usual, ...draft.read(form.what) });
  fields.set(given); // what led here, over what was typed before
  show();
  let keeping = false; // a photograph takes a while, in which somebody may tap once more
  const once = async (event) => {
    event.preventDefault();
    if (keeping) return;
    keeping = true;
    await kept().finally(() => (keeping = false));
  };
  const kept = async () => {
    made.querySelectorAll(".error").forEach((one) => one.replaceChildren());
    const [missing] = fields.missing();
    if (missing) {
      missing.node.querySelector(".error").textContent = "Still to say.";
      missing.node.querySelector("input, select, textarea")?.focus();
      return;
    }
    const body = fields.body(), words = [form.title, fields.words()].filter(Boolean).join(": ");
    try {
      const photo = await fields.photo()?.catch((wrong) => { throw new Refusal("photo", wrong.message); });
      await (entry ? change(entry, body, words) : add(state.data.workspace, form.what, body, words, photo));
    } catch (failed) {
      return state.tell(failed instanceof Refusal ? failed.message : "This phone could not keep it. It is still in the form: write it down, or free some room.");
    }
    if (!entry) draft.forget(form.what);
    await state.recount();
    state.go("waiting");
  };
  const noted = () => {
    if (!entry) draft.keep(form.what, fields.body());
    show();
  };
  const made = el("form", { onsubmit: once, oninput: noted, onchange: noted, novalidate: true },
    form.note && p(bdi(form.note)), fields.nodes, el("button", { class: "big" }, "Keep it"));
  return [first, made];
};
export const record = (state, [what, about, sort]) => {
  const form = state.data.forms.find((one) => one.what === what);
  if (form) {
    const [aimed] = form.fields.filter((field) => ["kind", "buyer", "find", "thing"].includes(field.sort));
    const given = about && aimed ? { [sort || aimed.name]: about } : {};
    return [heading(form.title), formFor(state, form, { given, usual: about && HERE[what] }), p(link(["record"], { class: "button quiet" }, "Something else"))];
  }
  return [
    heading("Record"),
    el("div", { class: "answers" }, state.data.forms.map((one) => link(["record", one.what], { class: "button big quiet" }, one.title))),
  ];
};
