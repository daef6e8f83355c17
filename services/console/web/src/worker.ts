// The service worker of the crew's page: keeps the page's own files, all of one
// build, so that it opens without signal. It keeps no answer of the API: what a
// phone knows of the office lies in its own store, with the time it was so.
//
// The build writes the names of the files into it (vite.config.ts). Another
// build is another text, which a browser notices by comparing bytes; it is
// fetched beside the old one and waits until a page lets it take over.
// It imports nothing, for a worker's file stands alone.

/** Filled in by the build: what makes this build another one, and the files of the crew's page. */
const build = "__BUILD__";
const files = "__FILES__".split(" ");

const page = "crew.html";
const cacheName = `valveround crew ${build}`;

interface Waiting extends Event { waitUntil(what: Promise<unknown>): void }
interface Fetching extends Waiting { request: Request; respondWith(answer: Promise<Response>): void }
interface Worker {
  addEventListener(name: "install" | "activate", handle: (event: Waiting) => void): void;
  addEventListener(name: "fetch", handle: (event: Fetching) => void): void;
  addEventListener(name: "message", handle: () => void): void;
  skipWaiting(): Promise<void>;
  clients: { claim(): Promise<void> };
  registration: { scope: string };
  location: Location;
}
const worker = globalThis as unknown as Worker;

const addressOf = (file: string) => new URL(file, worker.location.href).href;

/** All or nothing: a build is kept only when every file of it has come. */
async function keepFiles(): Promise<void> {
  const cache = await caches.open(cacheName);
  for (const file of files) {
    if (await cache.match(addressOf(file))) continue; // an attempt before this one was broken off
    const answer = await fetch(addressOf(file), { cache: file === page ? "reload" : "default" });
    if (!answer.ok || answer.redirected) throw new Error(`${file}: ${answer.status}`);
    await cache.put(addressOf(file), answer);
  }
}

async function forgetOthers(): Promise<void> {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith("valveround crew ") && name !== cacheName).map((name) => caches.delete(name)));
}

worker.addEventListener("install", (event) => event.waitUntil(keepFiles()));
worker.addEventListener("activate", (event) => event.waitUntil(forgetOthers().then(() => worker.clients.claim())));
// Only this server's own pages can say anything to it, and they say one thing: take over.
worker.addEventListener("message", () => void worker.skipWaiting());

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== worker.location.origin) return;
  const wanted = request.mode === "navigate" ? addressOf(page) : address.origin + address.pathname;
  if (!files.some((file) => addressOf(file) === wanted)) return; // the API and everything else: straight to the network
  event.respondWith(caches.open(cacheName).then((cache) => cache.match(wanted)).then((kept) => kept ?? fetch(request)));
});

export {};
