// Pieces of a page. Every word goes in as text, never as markup.
export const el = (tag, about = {}, ...kids) => {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(about)) {
    if (value === false || value == null) continue;
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else made.setAttribute(name, value === true ? "" : value);
  }
  made.append(...kids.flat(9).filter((kid) => kid !== false && kid != null && kid !== ""));
  return made;
};
export const p = (...kids) => el("p", {}, ...kids);
export const bdi = (text) => el("bdi", {}, text);
export const link = (to, about, ...kids) => el("a", { href: `#${to.map(encodeURIComponent).join("/")}`, ...about }, ...kids);
export const button = (words, act, about = {}) => el("button", { type: "button", onclick: act, ...about }, words);
export const fold = (words, ...kids) => el("details", {}, el("summary", {}, words), ...kids);
export const heading = (words) => el("h1", {}, words);
export const table = (caption, head, rows) =>
  el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": caption },
    el("table", {},
      el("caption", {}, caption),
      el("thead", {}, el("tr", {}, head.map((one) => el("th", { scope: "col" }, one)))),
      el("tbody", {}, rows.map(([first, ...rest]) =>
        el("tr", {}, el("th", { scope: "row" }, bdi(first)), rest.map((one) => el("td", {}, bdi(one))))))));
