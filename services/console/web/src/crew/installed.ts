// The page as an installed one: a service worker keeps its files, so that it
// opens without signal. A newer version waits until it is asked for, or until
// the page is opened the next time; the old one works on meanwhile.

import { signal } from "@preact/signals";

/** A newer version that is ready to be used. */
export const newer = signal<ServiceWorker | null>(null);
/** Whether the browser refused to keep the page: behind a certificate that it does not trust. */
export const notKept = signal(false);

const lookEvery = 30 * 60_000;

/** Keeps the page for work without signal. Resolves soon; `reload` is called when another version has taken over. */
export async function keepPage(reload: () => void = () => location.reload()): Promise<void> {
  if (!import.meta.env.PROD || !("serviceWorker" in navigator)) return;
  const workers = navigator.serviceWorker;
  let registration: ServiceWorkerRegistration | undefined;
  try {
    registration = await workers.register("./crew-worker.js", { scope: "./crew.html", updateViaCache: "none" });
  } catch (error) {
    notKept.value = error instanceof DOMException && error.name === "SecurityError";
    return; // offline, or forbidden: the page works as long as it is open
  }
  if (!registration) return; // a browser that is told to take none
  const noted = (worker: ServiceWorker | null) => {
    if (worker?.state === "installed" && workers.controller) newer.value = worker;
  };
  registration.addEventListener("updatefound", () => {
    const coming = registration!.installing;
    coming?.addEventListener("statechange", () => noted(coming));
  });
  if (registration.waiting && workers.controller) {
    // It was ready when the page was opened: nothing is typed yet, so it is used at once.
    newer.value = registration.waiting;
    useNewer(reload);
    return;
  }
  let looked = performance.now();
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible" || performance.now() - looked < lookEvery) return;
    looked = performance.now();
    void registration!.update().catch(() => {}); // no connection: another time
  });
}

/** Lets the newer version take over, and opens the page anew. Other tabs stay as they are until they are opened anew. */
export function useNewer(reload: () => void = () => location.reload()): void {
  if (!newer.value) return;
  navigator.serviceWorker.addEventListener("controllerchange", () => reload(), { once: true });
  newer.value.postMessage("take over");
}
