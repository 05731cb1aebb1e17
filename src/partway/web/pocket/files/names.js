// Names are looked for as they are folded: without case, accents and marks, from the beginning of any word.
export const folded = (text) =>
  text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase().replace(/[^\p{L}\p{N}]+/gu, " ").trim();
const begins = (name, typed) => ` ${name}`.includes(` ${typed}`);
// Those with such a name; first the ones whose own name begins so.
export const looked = (list, text, most) => {
  const typed = folded(text);
  if (!typed) return [];
  const found = list.filter((one) => one.folded.some((name) => begins(name, typed)));
  const first = (one) => (one.folded[0].startsWith(typed) ? 0 : 1);
  return found.sort((one, other) => first(one) - first(other)).slice(0, most);
};
