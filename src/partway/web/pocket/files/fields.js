// The fields of a form as the desk describes them. What is typed goes to the desk as it was typed: nothing is read here.
import { bdi, button, el } from "./dom.js";
import { looked } from "./names.js";
import { photographOf } from "./photo.js";
import { MADE } from "./queue.js";

const OFF = { autocomplete: "off", autocapitalize: "none", spellcheck: "false", dir: "auto" };
const MOST = 4; // names offered under a field
let count = 0;
const framed = (field, id, ...inside) =>
  el("div", { class: "field", "data-field": field.name },
    el("label", { for: id }, field.label), field.hint && el("p", { class: "hint", id: `${id}-hint` }, field.hint), ...inside,
    el("p", { class: "error", role: "alert" }));
const line = (field, id, mode) => {
  const input = el("input", { type: "text", id, ...OFF, inputmode: mode, "aria-describedby": field.hint && `${id}-hint` });
  return { node: framed(field, id, input), get: () => input.value.trim(), set: (value) => (input.value = value), words: () => input.value.trim() };
};
const text = (field, id) => {
  const input = el("textarea", { id, rows: 3, ...OFF });
  return { node: framed(field, id, input), get: () => input.value.trim(), set: (value) => (input.value = value), words: () => input.value.trim() };
};
const counted = (field, id) => {
  const own = line(field, id, "numeric");
  const get = () => (/^[0-9]{1,6}$/.test(own.get()) ? JSON.parse(own.get().replace(/^0+(?=.)/, "")) : own.get());
  return { ...own, get, set: (value) => own.set(String(value)) };
};
const choice = (field, id) => {
  const radios = field.choices.map((one) => el("input", { type: "radio", name: id, value: one.value }));
  const chosen = () => radios.findIndex((one) => one.checked);
  const node = el("fieldset", { class: "field", "data-field": field.name }, el("legend", {}, field.label), field.hint && el("p", { class: "hint" }, field.hint),
    el("div", { class: "choices" }, field.choices.map((one, n) => el("label", {}, radios[n], el("span", {}, bdi(one.words))))),
    el("p", { class: "error", role: "alert" }));
  return {
    node, get: () => field.choices[chosen()]?.value ?? "", words: () => field.choices[chosen()]?.words ?? "",
    set: (value) => radios.forEach((one) => (one.checked = one.value === value)),
  };
};
// Chosen from short lists of the desk's, each under its name where there are several.
const picked = (field, id, lists) => {
  const list = lists.flatMap(([, all]) => all);
  const options = (all) => all.map((one) => el("option", { value: one.id }, one.words ? `${one.name}: ${one.words}` : one.name));
  const select = el("select", { id }, el("option", { value: "" }, field.need ? "Choose" : "None said"),
    lists.map(([name, all]) => (name ? all.length > 0 && el("optgroup", { label: name }, options(all)) : options(all))));
  return {
    node: framed(field, id, select), get: () => select.value,
    words: () => list.find((one) => one.id === select.value)?.name ?? "",
    set: (value) => {
      if (value && !list.some((one) => one.id === value)) select.append(el("option", { value }, "As it was"));
      select.value = value;
    },
  };
};
// Finds and tickets that wait here for the desk are in their lists.
const waits = (state, sort) => state.waiting.filter((one) => MADE[one.what] === sort).map((one) => ({ id: `@${one.id}`, name: one.words }));
const choosable = (state, sort) => [...waits(state, sort), ...(state.data[`${sort}s`] || [])];
const listed = (field, id, state) => picked(field, id, [["", choosable(state, field.sort)]]);
// One thing of several sorts. It goes to the desk under the name of its sort, of which a body has one.
const THINGS = { find: "Finds", bin: "Bins", ticket: "Tickets that wait here" };
const thing = (field, id, state) => {
  const own = picked(field, id, Object.entries(THINGS).map(([sort, name]) => [name, choosable(state, sort).map((one) => ({ ...one, id: `${sort} ${one.id}` }))]));
  const sort = () => own.get().split(" ")[0];
  return {
    ...own, name: sort, get: () => own.get().slice(sort().length + 1),
    take: (body) => Object.keys(THINGS).forEach((one) => body[one] && own.set(`${one} ${body[one]}`)),
  };
};
// A name typed, with those of the desk's that begin so under it; what is not one of them goes to the desk as typed.
const named = (field, id, state) => {
  const list = state.data[`${field.sort}s`];
  const offered = el("div", { class: "offered" });
  const input = el("input", { type: "text", id, ...OFF, oninput: () => offer() });
  const offer = () => {
    const found = looked(list, input.value, MOST).filter((one) => one.name !== input.value);
    offered.replaceChildren(...found.map((one) => button(bdi(one.name), () => { input.value = one.name; offered.replaceChildren(); }, { class: "quiet" })));
  };
  const known = () => list.find((one) => one.name === input.value.trim());
  return {
    node: framed(field, id, input, offered), get: () => known()?.id ?? input.value.trim(), words: () => input.value.trim(),
    set: (value) => (input.value = list.find((one) => one.id === value)?.name ?? value),
  };
};
const lines = (field, id, state) => {
  const all = [];
  const rows = el("div", {});
  const more = () => {
    const fields = fieldsOf(field.of, state);
    all.push(fields);
    rows.append(el("fieldset", { class: "part" }, el("legend", {}, `${field.label} ${all.length}`), fields.nodes));
    return fields;
  };
  const node = el("div", { class: "field", "data-field": field.name }, rows, button("One more", more, { class: "quiet" }), el("p", { class: "error", role: "alert" }));
  more();
  const said = () => all.filter((one) => Object.keys(one.body()).length > 0);
  return {
    node, get: () => said().map((one) => one.body()), words: () => said().map((one) => one.words()).join("; "),
    set: (value) => value.forEach((one, n) => (all[n] || more()).set(one)),
    missing: () => said().flatMap((one) => one.missing()),
  };
};
// The camera. What it took is no part of the body: it waits beside it.
const photo = (field, id) => {
  const input = el("input", { type: "file", id, accept: "image/*", capture: "environment", "aria-describedby": field.hint && `${id}-hint` });
  const own = { node: framed(field, id, input), get: () => "", set: () => {}, words: () => "", missing: () => (field.need && !input.files.length ? [own] : []) };
  return { ...own, photo: () => (input.files.length ? photographOf(input.files[0]) : null) };
};
const SORTS = {
  line: (field, id) => line(field, id, "text"), number: (field, id) => line(field, id, "decimal"), count: counted, text, choice, lines, photo, thing,
  kind: named, grade: named, find: listed, buyer: listed, bin: listed, haul: listed,
};
const empty = (value) => value === "" || value.length === 0;
// Fields together: their nodes, the body they make, what they say in words, and those that are missing.
export const fieldsOf = (fields, state) => {
  const shown = fields.filter((field) => !field.fixed).map((field) => ({ field, ...SORTS[field.sort](field, `f${(count += 1)}`, state) }));
  const rest = shown.filter((one) => one.field.more).map((one) => one.node);
  return {
    nodes: [shown.filter((one) => !one.field.more).map((one) => one.node), rest.length > 0 && el("details", {}, el("summary", {}, "More"), rest)],
    body: () => {
      const said = shown.map((one) => [one.name?.() ?? one.field.name, one.get()]).filter(([, value]) => !empty(value));
      if (!said.length) return {};
      return Object.fromEntries([...fields.filter((one) => one.fixed).map((one) => [one.name, one.fixed]), ...said]);
    },
    words: () => shown.map((one) => one.words()).filter(Boolean).join(", "),
    missing: () => shown.flatMap((one) => [...(one.field.need && !one.photo && empty(one.get()) ? [one] : []), ...(one.missing?.() ?? [])]),
    set: (body) => shown.forEach((one) => (one.take ? one.take(body) : body[one.field.name] !== undefined && one.set(body[one.field.name]))),
    photo: () => shown.find((one) => one.photo)?.photo(),
    of: (name) => shown.find((one) => one.field.name === name),
  };
};
