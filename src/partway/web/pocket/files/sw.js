// Keeps the page, and the last that the desk told, where there is no signal. It answers for the page's own files and the
// two files of data; every other request, and whatever is sent, goes past it.
const SHELL = "partway pocket @version", DATA = "partway pocket data";
const FILES = JSON.parse('@files'); // address: what it has to hold, so that no two versions are mixed
const TOLD = ["/pocket/data.json", "/pocket/key.json"];
const PATIENCE = 4000; // milliseconds until what is kept is shown instead

const install = async () => {
  const kept = await caches.open(SHELL);
  const wanted = Object.entries(FILES).map(([file, integrity]) => new Request(file, { integrity, cache: "reload" }));
  try {
    await kept.addAll(wanted); // all of them or none
  } catch (failed) {
    await caches.delete(SHELL);
    throw failed;
  }
};
const activate = async () => {
  const names = await caches.keys();
  const before = names.filter((name) => name.startsWith("partway pocket ") && name !== SHELL && name !== DATA);
  await Promise.all(before.map((name) => caches.delete(name)));
  await self.clients.claim();
};
const file = async (path, request) => (await (await caches.open(SHELL)).match(path)) ?? fetch(request);
const asKept = async (path, why) => {
  const kept = await (await caches.open(DATA)).match(path);
  if (!kept) return null;
  const headers = new Headers(kept.headers);
  headers.set("partway-kept", why); // so that the page can say that this is not from now
  return new Response(kept.body, { headers });
};
const told = async (path, event) => {
  const asked = fetch(path, { cache: "no-cache" }).then(async (answer) => {
    if (answer.ok) await (await caches.open(DATA)).put(path, answer.clone());
    return answer;
  });
  event.waitUntil(asked.catch(() => {})); // one that comes late is kept for the next time
  const late = new Promise((_, failed) => setTimeout(failed, PATIENCE));
  const answer = await Promise.race([asked, late]).catch(() => null);
  if (answer?.ok) return answer;
  const kept = await asKept(path, answer ? String(answer.status) : "away");
  return kept ?? answer ?? asked; // nothing is kept: whatever comes, however late
};
self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("message", (event) => event.data === "now" && self.skipWaiting());
self.addEventListener("fetch", (event) => {
  const { request } = event, url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin || url.search) return;
  if (TOLD.includes(url.pathname)) event.respondWith(told(url.pathname, event));
  else if (url.pathname in FILES) event.respondWith(file(url.pathname, request));
});
