// What this phone keeps: entries that wait for the desk, in their order, and the last that the desk has answered.
// A write counts once the phone's own storage has it ("strict"), so that a dead battery loses nothing that was said kept.
const opened = new Promise((done, failed) => {
  const asked = indexedDB.open("partway pocket", 1);
  asked.onupgradeneeded = () => {
    asked.result.createObjectStore("waiting", { keyPath: "place", autoIncrement: true });
    asked.result.createObjectStore("done", { keyPath: "place", autoIncrement: true });
  };
  asked.onsuccess = () => done(asked.result);
  asked.onerror = () => failed(asked.error);
});
opened.catch(() => {}); // told where something is to be kept
const within = async (stores, mode, act) => {
  const db = await opened;
  return new Promise((done, failed) => {
    const work = db.transaction(stores, mode, { durability: "strict" });
    const asked = act((name) => work.objectStore(name));
    work.oncomplete = () => done(asked?.result);
    work.onerror = work.onabort = () => failed(work.error);
  });
};
const MOST = 50; // answered entries that are still shown
export const waiting = () => within(["waiting"], "readonly", (of) => of("waiting").getAll());
export const answered = () => within(["done"], "readonly", (of) => of("done").getAll());
export const keep = (entry) => within(["waiting"], "readwrite", (of) => of("waiting").put(entry));
export const drop = (entries) => within(["waiting"], "readwrite", (of) => entries.forEach((one) => of("waiting").delete(one.place)));
// What the desk said of an entry, if that one still stands as it was sent: then it goes over to the answered ones, or
// stays with the answer beside it. One that was changed meanwhile stays, and says so.
export const settle = (sent, answer) =>
  within(["waiting", "done"], "readwrite", (of) => {
    const asked = of("waiting").get(sent.place);
    asked.onsuccess = () => {
      const now = asked.result;
      if (!now) return;
      const over = answer.outcome === "done" || answer.outcome === "already";
      if (!over) {
        if (now.turn === sent.turn) of("waiting").put({ ...now, answer });
        return;
      }
      if (now.turn !== sent.turn) {
        const late = "The desk recorded it as it was before you changed it. Put it right at the desk.";
        answer = { ...answer, words: `${answer.words} ${late}` };
      }
      of("waiting").delete(now.place);
      const { place, photo, ...rest } = now;
      of("done").add({ ...rest, answer });
      const all = of("done").getAllKeys();
      all.onsuccess = () => all.result.slice(0, -MOST).forEach((key) => of("done").delete(key));
    };
  });
