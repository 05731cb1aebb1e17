// The queue: what was recorded here and is not in the ledger yet. Each entry keeps the id of the event that it becomes, so
// the desk knows it again however often it comes. Nothing leaves the phone before the desk has answered for it.
import { typedAt } from "./days.js";
import { newId } from "./ids.js";
import { keep, settle, waiting } from "./store.js";

const SCHEMA = 1, AT_ONCE = 50, PATIENCE = 60_000; // entries in one request; milliseconds
const PHOTOGRAPHS = 20; // the most that wait on one phone, each of at most a megabyte (photo.js)
// Each is typed later than the one before it, whatever the phone's clock does: their order is the order of the list.
export const add = async (workspace, what, body, words, photo) => {
  const all = await waiting(), last = all.reduce((latest, one) => Math.max(latest, Date.parse(one.typed)), 0);
  if (photo && all.filter((one) => one.photo).length >= PHOTOGRAPHS)
    throw new Refusal("full", `${PHOTOGRAPHS} photographs wait on this phone already, and it keeps no more. Hand them back first, or drop one.`);
  const entry = { id: newId(), what, body, words, workspace, turn: 0, ...typedAt(new Date(Math.max(Date.now(), last + 1))) };
  return keep(photo ? { ...entry, photo } : entry);
};
// Said otherwise, under the same id and with the time it was first typed.
export const change = (entry, body, words = entry.words) => {
  const { answer, ...rest } = entry;
  return keep({ ...rest, body, words, turn: entry.turn + 1 });
};
// A photograph is not among them: it goes by itself.
export const packed = (workspace, entries) => ({
  schema: SCHEMA,
  workspace,
  intents: entries.filter((one) => !one.photo).map(({ id, what, body, typed, day }) => ({ id, what, body, typed, day })),
});
const UNKNOWN = "The desk does not know this phone any more.";
const send = async (workspace, entries) => {
  const answer = await fetch("/pocket/back", {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(packed(workspace, entries)),
    signal: AbortSignal.timeout(PATIENCE),
  });
  if (answer.ok) return answer.json();
  if (answer.status === 401) throw new Refusal("key", UNKNOWN);
  const told = await answer.json().catch(() => ({}));
  throw new Refusal("told", told.detail || told.title || `The desk answered ${answer.status}.`);
};
export class Refusal extends Error {
  constructor(sort, words) {
    super(words);
    this.sort = sort;
  }
}
// Hands back all that waits for this ledger, in its order. Says what came of each; throws where the desk did not answer.
const handing = async (workspace) => {
  const all = await waiting(), told = [];
  for (const one of new Set(["", workspace])) // "": noted before the ledger had a first entry to be known by
    await batches(one, all.filter((entry) => entry.workspace === one && !entry.photo), told);
  await photographs(["", workspace], told);
  return told;
};
// What other entries may speak of: by which field of theirs. A find or ticket noted here goes by @ and its entry's id.
export const MADE = { found: "find", ticketed: "ticket" };
export const about = (entry, { id }) => Object.values(MADE).some((field) => entry.body[field] === `@${id}`);
// The photographs, one request each, after what was recorded: what one is of may be among that, and where it waits still,
// its photograph waits with it.
const photographs = async (workspaces, told) => {
  const all = await waiting();
  for (const entry of all.filter((one) => one.photo && workspaces.includes(one.workspace) && !all.some((made) => about(one, made)))) {
    const answer = await sendPhotograph(entry);
    await settle(entry, answer);
    told.push({ entry, answer });
  }
};
const failed = (outcome, words) => ({ outcome, words, more: [], choices: [] });
const sendPhotograph = async ({ id, workspace, typed, body, photo }) => {
  const to = `/pocket/photograph?${new URLSearchParams({ id, workspace, typed, ...body })}`;
  const sent = { method: "POST", headers: { "content-type": "image/jpeg" }, body: photo, signal: AbortSignal.timeout(PATIENCE) };
  const answer = await fetch(to, sent).catch(() => null);
  if (!answer) {
    await send(workspace, []); // throws where the desk is away; else it is this one's own trouble, and the next is tried
    return failed("failed", "It did not get through. It is kept, and tried again with the next hand back.");
  }
  if (answer.status === 401) throw new Refusal("key", UNKNOWN);
  const told = await answer.json().catch(() => ({}));
  return told.results?.[0] ?? failed("refused", told.detail || told.title || `The desk answered ${answer.status}.`);
};
const batches = async (workspace, mine, told) => {
  for (let from = 0; from < mine.length; from += AT_ONCE) {
    const sent = mine.slice(from, from + AT_ONCE);
    const { results } = await send(workspace, sent);
    for (const entry of sent) {
      const answer = results.find((one) => one.id === entry.id);
      if (!answer) continue; // not answered for: it stays
      await settle(entry, answer);
      told.push({ entry, answer });
    }
  }
};
// One at a time, whichever tab of this phone asks.
let turn = Promise.resolve();
export const handBack = (workspace) => {
  const act = () => handing(workspace);
  if (navigator.locks) return navigator.locks.request("partway pocket", act);
  turn = turn.then(act, act);
  return turn;
};
