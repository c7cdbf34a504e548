// The page without a network: every file of one version in one cache. version.js, made with the
// files, names them; a change of it makes the browser install this worker anew, and the new version
// is used at the next reload.
importScripts("/version.js");

const { version, files } = self.SHELL;
const CACHE = `page ${version}`;
const RULES = "rules";

self.addEventListener("install", (event) => {
  const all = ["/", ...files.map((path) => `/${path}`)];
  const fresh = all.map((path) => new Request(path, { cache: "reload" }));
  event.waitUntil(
    caches
      .open(CACHE)
      .then((cache) => cache.addAll(fresh))
      .then(() => self.skipWaiting()),
  );
});

self.addEventListener("activate", (event) => {
  const old = (name) => name.startsWith("page ") && name !== CACHE;
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(names.filter(old).map((name) => caches.delete(name))))
      .then(() => self.clients.claim())
      .then(() => self.clients.matchAll())
      .then((pages) => pages.forEach((page) => page.postMessage({ version }))),
  );
});

/** Rule bases are named by their digest and never change; a new one takes the place of the old. */
async function rules(request) {
  const cache = await caches.open(RULES);
  const known = await cache.match(request);
  if (known) return known;
  const response = await fetch(request);
  if (response.ok) {
    for (const old of await cache.keys()) await cache.delete(old);
    await cache.put(request, response.clone());
  }
  return response;
}

async function shell(request) {
  const cache = await caches.open(CACHE);
  const path = request.mode === "navigate" ? "/" : request;
  return (await cache.match(path, { ignoreSearch: request.mode === "navigate" })) ?? fetch(request);
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (url.pathname.startsWith("/api/rules/")) event.respondWith(rules(request));
  else if (!url.pathname.startsWith("/api/")) event.respondWith(shell(request));
});
