// Offline copy of the page. `salver/offline.js` is written by build.sh: the files and a digest over them, so that
// one version is kept whole and a new one replaces it whole. Only the page's own files are ever kept.

importScripts("./salver/offline.js");
const { version, files } = self.OFFLINE;
const PREFIX = "tray-page ";
const NAME = PREFIX + version;

async function keep() {
  const cache = await caches.open(NAME);
  await cache.addAll(files.map((file) => new Request(file, { cache: "reload" })));
  await self.skipWaiting();
}

async function tidy() {
  for (const name of await caches.keys()) {
    if (name.startsWith(PREFIX) && name !== NAME) await caches.delete(name);
  }
  await self.clients.claim();
}

async function answer(request) {
  const cache = await caches.open(NAME);
  const kept = await cache.match(request.mode === "navigate" ? "index.html" : request, { ignoreSearch: true });
  return kept ?? fetch(request);
}

self.addEventListener("install", (event) => event.waitUntil(keep()));
self.addEventListener("activate", (event) => event.waitUntil(tidy()));
self.addEventListener("fetch", (event) => {
  if (event.request.method === "GET") event.respondWith(answer(event.request));
});
