// The queue: what was recorded here and is not in the ledger yet. Each entry keeps the id of the event that it becomes, so
// the desk knows it again however often it comes. Nothing leaves the phone before the desk has answered for it.
import { typedAt } from "./days.js";
import { newId } from "./ids.js";
import { keep, settle, waiting } from "./store.js";

const SCHEMA = 1, AT_ONCE = 50, PATIENCE = 60_000; // entries in one request; milliseconds
// Each is typed later than the one before it, whatever the phone's clock does: their order is the order of the list.
export const add = async (workspace, what, body, words) => {
  const last = (await waiting()).reduce((latest, one) => Math.max(latest, Date.parse(one.typed)), 0);
  return keep({ id: newId(), what, body, words, workspace, turn: 0, ...typedAt(new Date(Math.max(Date.now(), last + 1))) });
};
// Said otherwise, under the same id and with the time it was first typed.
export const change = (entry, body, words = entry.words) => {
  const { answer, ...rest } = entry;
  return keep({ ...rest, body, words, turn: entry.turn + 1 });
};
export const packed = (workspace, entries) => ({
  schema: SCHEMA,
  workspace,
  intents: entries.map(({ id, what, body, typed, day }) => ({ id, what, body, typed, day })),
});
const send = async (workspace, entries) => {
  const answer = await fetch("/pocket/back", {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(packed(workspace, entries)),
    signal: AbortSignal.timeout(PATIENCE),
  });
  if (answer.ok) return answer.json();
  if (answer.status === 401) throw new Refusal("key", "The desk does not know this phone any more.");
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
    await batches(one, all.filter((entry) => entry.workspace === one), told);
  return told;
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
