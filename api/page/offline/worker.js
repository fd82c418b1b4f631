/**
 * Keeps the files of the page, all of one version, so that it opens without a signal. The service puts a line with
 * SHELL before this text. What the service answers is not kept here: the page does that itself, to say how old it is.
 */

/* global SHELL */
const PREFIX = "ventsleuth-page-";
const CACHE = PREFIX + SHELL.version;
const HOME = new URL("./", self.location.href);
const NO_SIGNAL =
  '<!doctype html><html lang="en-GB"><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>No signal</title><h1>No signal</h1><p>This part is not kept on this phone. Go back, or try again when there is a signal.</p><p><a href="/">To the first screen</a></p></html>';

self.addEventListener("install", (event) => event.waitUntil(keep()));
self.addEventListener("activate", (event) => event.waitUntil(dropOthers().then(() => self.clients.claim())));
self.addEventListener("message", (event) => {
  if (event.data === "take over") void self.skipWaiting();
});
self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET" || new URL(request.url).origin !== HOME.origin) return;
  const name = nameOf(request.url);
  if (SHELL.files.includes(name)) event.respondWith(fromKept(name, request));
  else if (request.mode === "navigate") event.respondWith(fetch(request).catch(() => noSignal()));
});

async function keep() {
  const cache = await caches.open(CACHE);
  await Promise.all(SHELL.files.map(async (name) => {
    const response = await fetch(new Request(new URL(name, HOME), { cache: "no-cache" }));
    if (!response.ok) throw new Error(`${name}: ${response.status}`);
    await cache.put(new URL(name, HOME), response);
  }));
}

async function dropOthers() {
  const names = await caches.keys();
  await Promise.all(names.filter((it) => it.startsWith(PREFIX) && it !== CACHE).map((it) => caches.delete(it)));
}

function nameOf(address) {
  const path = new URL(address).pathname.slice(HOME.pathname.length);
  return path === "" ? "index.html" : path;
}

async function fromKept(name, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(new URL(name, HOME))) ?? fetch(request); // the phone may have thrown it away
}

function noSignal() {
  return new Response(NO_SIGNAL, { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } });
}
