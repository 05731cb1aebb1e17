// The page itself: what is kept is shown at once, then what the desk says now; one screen at a time, by its address.
import { bdi, el, p } from "./dom.js";
import { aged, daysSince, old, worthALook } from "./days.js";
import { curb } from "./curb.js";
import { prices } from "./prices.js";
import { key } from "./key.js";
import { record } from "./record.js";
import { waitingScreen } from "./waiting.js";
import { more } from "./more.js";
import { answered, waiting } from "./store.js";
import { handBack } from "./queue.js";
import { away, desk } from "./desk.js";

const SCREENS = { curb, prices, key, record, waiting: waitingScreen, more };
const at = (name) => document.querySelector(`[data-${name}]`);
const where = () => (location.hash.slice(1) || "curb").split("/").map(decodeURIComponent);
const state = { data: null, key: null, status: 0, waiting: [], answered: [], note: "", why: "", handing: false };

state.go = (...to) => {
  location.hash = to.map(encodeURIComponent).join("/");
};
// Says something above the screen until the next one.
state.tell = (words) => {
  state.note = words;
  notes();
};
// What waits, read again from where it is kept; its number stands in the title wherever one is.
state.recount = async () => {
  state.waiting = await waiting();
  state.answered = await answered();
  const count = state.waiting.length;
  at("count").textContent = count || "";
};
const title = () => {
  const count = state.waiting.length;
  document.title = `${count ? `(${count}) ` : ""}${at("screen").querySelector("h1")?.textContent || "Pocket"} · partway`;
};
const age = () => {
  const line = at("age"), day = state.data?.on;
  if (!day) return line.replaceChildren();
  const days = daysSince(day);
  const warned = old(days) ? " Too old to go by: ask before you lift." : worthALook(days) ? " Worth a second look before the drive." : "";
  line.classList.toggle("caution", warned !== "");
  return line.replaceChildren(`Prices as of ${aged(day)}.${warned} ${state.why}`);
};
const notes = () => {
  const plain = p("By plain http nothing of this page stays when the signal is gone. ", el("a", { href: "/trust", class: "reach" }, "What to do"));
  const note = el("p", { class: "note", role: "status" }, bdi(state.note));
  at("notes").replaceChildren(...[!window.isSecureContext && plain, state.note && note].filter(Boolean));
};
state.show = () => {
  const [name, ...rest] = where(), screen = SCREENS[name] ? name : "curb";
  for (const one of document.querySelectorAll(".places a, .top nav a"))
    if (one.hash === `#${screen}`) one.setAttribute("aria-current", "page");
    else one.removeAttribute("aria-current");
  const words = state.data || screen === "waiting" ? SCREENS[screen](state, rest) : away(state);
  at("screen").replaceChildren(...[words].flat(9).filter(Boolean));
  at("screen").dataset.screen = location.hash;
  age();
  notes();
  title();
};
// What came meanwhile is shown, but never under the fingers of somebody who types.
const refresh = async () => {
  await state.recount();
  const typing = at("screen").contains(document.activeElement) && document.activeElement.matches("input, select, textarea");
  if (!at("screen").childElementCount || !(typing || at("screen").querySelector("form:not([role])"))) return state.show();
  age();
  notes();
  return title();
};
// The first attempt is made on opening: whoever comes home and opens the page need not remember.
state.handBack = async (asked) => {
  if (state.handing || !state.data) return;
  state.handing = true;
  try {
    const told = await handBack(state.data.workspace);
    const open = told.filter(({ answer }) => answer.outcome !== "done" && answer.outcome !== "already").length;
    if (told.length) state.note = `${told.length - open} recorded${open ? `, ${open} to look at` : ""}. ${told.length === 1 ? told[0].answer.words : ""}`;
    if (told.length > open) desk(state, refresh);
  } catch (failed) {
    if (asked || failed.sort) state.note = failed.sort ? failed.message : "The desk cannot be reached. Nothing is lost: all of it waits here.";
  }
  state.handing = false;
  await refresh();
};
let turned = 0; // only the last of two turns in a row is shown: the first would be laid over what was typed since
window.addEventListener("hashchange", async () => {
  const turn = (turned += 1);
  state.note = "";
  await state.recount();
  if (turn !== turned) return;
  state.show();
  scrollTo(0, 0);
});
const open = state.open = async () => {
  await desk(state, refresh);
  await state.handBack(false);
};
document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && open());
refresh();
open();
