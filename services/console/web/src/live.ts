// One event stream a page. The browser resumes it with Last-Event-ID; a stream
// that had to be opened anew reads everything shown again, so that nothing
// that happened in between is missed.

import { signal } from "@preact/signals";
import type { Progress } from "./types";

/** Whether the stream is open: null before the first attempt has ended. */
export const connected = signal<boolean | null>(null);

interface Change { kinds: string[]; dates: string[] }
type Listener = { kinds: string[]; date?: string; run: () => void };
const listeners = new Set<Listener>();
const progressListeners = new Set<{ date: string; run: (progress: Progress) => void }>();

/** Runs `run` when an entity of one of these kinds changes; with `date`, changes to other days are passed over. */
export function onChange(kinds: string[], run: () => void, date?: string): () => void {
  const listener = { kinds, run, date };
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** Runs `run` with each step of the planning of a date. */
export function onProgress(date: string, run: (progress: Progress) => void): () => void {
  const listener = { date, run };
  progressListeners.add(listener);
  return () => progressListeners.delete(listener);
}

export function concerns(listener: { kinds: string[]; date?: string }, change: Change): boolean {
  if (change.kinds.includes("resync")) return true;
  const kinds = change.kinds.filter((kind) => kind !== "day" || !listener.date || change.dates.length === 0 || change.dates.includes(listener.date));
  return kinds.some((kind) => listener.kinds.includes(kind));
}

// A command writes several events, and an import thousands: changes are
// gathered for a moment before anything is read again.
const gatherFor = 200;
let gathered: Change | null = null;

export function announce(change: Change): void {
  if (gathered) {
    gathered.kinds.push(...change.kinds);
    gathered.dates.push(...change.dates);
    return;
  }
  gathered = { kinds: [...change.kinds], dates: [...change.dates] };
  setTimeout(() => {
    const all = gathered!;
    gathered = null;
    for (const listener of [...listeners]) if (concerns(listener, all)) listener.run();
  }, gatherFor);
}

const resync = { kinds: ["resync"], dates: [] };
let source: EventSource | null = null;
let wasOpen = false;

export function startLive(url = "/api/live"): void {
  if (source) return;
  source = new EventSource(url);
  let anew = wasOpen;
  source.onopen = () => {
    connected.value = true;
    if (anew) announce(resync);
    anew = false;
    wasOpen = true;
  };
  source.onerror = () => {
    connected.value = false;
    // The browser retries a broken stream by itself, but not one that was
    // answered with an error status.
    if (source?.readyState === EventSource.CLOSED) {
      source = null;
      setTimeout(() => startLive(url), 3000);
    }
  };
  source.addEventListener("changed", (event) => {
    const message = JSON.parse(event.data) as { kinds: string[] | null; dates?: string[] | null };
    announce({ kinds: message.kinds ?? [], dates: message.dates ?? [] });
  });
  source.addEventListener("planning", (event) => {
    const progress = JSON.parse(event.data) as Progress;
    for (const listener of [...progressListeners]) if (listener.date === progress.date) listener.run(progress);
  });
}

/** A tab in the background gives its connection back; browsers allow six a host. */
export function followVisibility(url = "/api/live"): void {
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") startLive(url);
    else {
      source?.close();
      source = null;
    }
  });
}
