// What the desk told: first as this phone keeps it, then as it is now. And the worker that keeps it.
import { button, el, heading, p } from "./dom.js";

const SCHEMA = 1, AGAIN = 3000; // milliseconds
const DATA = "/pocket/data.json", KEY = "/pocket/key.json", KEPT = "partway pocket data";
const WHY = { away: "No answer from the desk: as kept.", 401: "The desk does not know this phone any more: as kept." };
const kept = async (path) => (window.caches ? (await (await caches.open(KEPT)).match(path))?.json() : null);
const told = async (state) => {
  const answer = await fetch(DATA).catch(() => null);
  state.status = answer ? answer.status : 0;
  state.why = WHY[answer ? answer.headers.get("partway-kept") : "away"] || "";
  return answer?.ok ? answer.json() : null;
};
const take = (state, data) => {
  if (!data || (data.made === state.data?.made && data.workspace === state.data?.workspace)) return false;
  state.status = data.schema === SCHEMA ? 200 : 426; // Upgrade Required (RFC 9110, 15.5.22)
  state.data = data.schema === SCHEMA ? data : null;
  return true;
};
// The test key, which takes the desk longer: whether it has to be asked for again.
const keyNow = async (state) => {
  const read = (found) => (found?.schema === SCHEMA ? found : state.key);
  state.key = read(await kept(KEY).catch(() => null));
  const answer = await fetch(KEY).catch(() => null);
  state.key = read(answer?.ok ? await answer.json().catch(() => null) : null);
  return answer?.status === 503;
};
// `shown` is called whenever there is something else to show.
export const desk = async (state, shown) => {
  clearTimeout(state.later);
  if (!state.data && take(state, await kept(DATA).catch(() => null))) await shown();
  await work();
  const now = await told(state).catch(() => null);
  take(state, now);
  await shown();
  const yet = await keyNow(state);
  await shown();
  if (yet || state.status === 503) state.later = setTimeout(() => desk(state, shown), AGAIN);
};
const turn = (act) =>
  Promise.race([
    new Promise((done) => navigator.serviceWorker.addEventListener("controllerchange", done, { once: true })),
    new Promise((done) => setTimeout(done, AGAIN)),
    act?.(),
  ].filter(Boolean));
// The worker that keeps this page. A newer page that was fetched before is taken at the next opening, all of it at once.
const work = async () => {
  const workers = navigator.serviceWorker;
  const known = await workers?.register("/pocket/sw.js", { scope: "/pocket/", updateViaCache: "none" }).catch(() => null);
  if (!known) return;
  navigator.storage?.persist?.();
  if (!workers.controller) return turn();
  if (!known.waiting) return;
  const taken = turn();
  known.waiting.postMessage("now");
  await taken;
  location.reload();
};
export const away = ({ status, open }) => {
  if (status === 401) return asksKey();
  const words = {
    0: "The desk cannot be reached, and this phone has kept nothing yet. Open this page once where the desk can be reached.",
    426: "This page and the desk are not of one version. Close the page and open it again where the desk can be reached.",
    503: "The desk is working it out. It comes by itself.",
  };
  return [heading("In the pocket"), p(words[status] || `The desk answered ${status}: nothing to show.`), button("Try again", open, { class: "big" })];
};
// An app on a home screen knows nothing of the browser's keys: the address with the key is typed or pasted here, once.
const asksKey = () => {
  const typed = el("input", { type: "text", id: "key", autocomplete: "off", autocapitalize: "none", spellcheck: "false" });
  const go = (event) => {
    event.preventDefault();
    const given = typed.value.trim().replace(/^.*[?&]key=/, "").replace(/[&#].*$/, "");
    if (given) location.assign(`/pocket/?key=${encodeURIComponent(given)}`);
  };
  return [
    heading("Which phone is this?"),
    p("The desk does not know it. At the desk: Settings, Phones and other devices, a key for it."),
    el("form", { onsubmit: go }, el("div", { class: "field" }, el("label", { for: "key" }, "The address with its key, or the key alone"), typed), el("button", { class: "big" }, "Open")),
  ];
};
