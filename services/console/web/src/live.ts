// One event stream a page. The browser resumes it with Last-Event-ID, and
// every (re)connection also reads everything shown again, so that nothing
// that happened in between is missed.

import { signal } from "@preact/signals";
import type { Progress } from "./types";

/** Whether the stream is open: null before the first attempt has ended. */
export const connected = signal<boolean | null>(null);

type Listener = { topics: string[]; run: () => void };
const listeners = new Set<Listener>();

/** Runs `run` when one of the topics changes; a topic ending in ":" matches by its beginning. */
export function onChange(topics: string[], run: () => void): () => void {
  const listener = { topics, run };
  listeners.add(listener);
  return () => listeners.delete(listener);
}

/** Tells the listeners what changed; `null` means "anything may have". */
export function announce(changed: string[] | null): void {
  for (const listener of [...listeners]) {
    if (!changed || listener.topics.some((topic) => changed.some((name) => matches(topic, name)))) listener.run();
  }
}

export const matches = (topic: string, name: string) => (topic.endsWith(":") ? name.startsWith(topic) : name === topic);

const progressListeners = new Set<{ date: string; run: (progress: Progress) => void }>();

/** Runs `run` with each step of the planning of a date. */
export function onProgress(date: string, run: (progress: Progress) => void): () => void {
  const listener = { date, run };
  progressListeners.add(listener);
  return () => progressListeners.delete(listener);
}

let source: EventSource | null = null;
let opened = false;

export function startLive(url = "/api/live"): void {
  if (source) return;
  source = new EventSource(url);
  source.onopen = () => {
    connected.value = true;
    if (opened) announce(null);
    opened = true;
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
  source.addEventListener("changed", (event) => announce((JSON.parse(event.data) as { topics: string[] }).topics));
  source.addEventListener("progress", (event) => {
    const progress = JSON.parse(event.data) as Progress & { date: string };
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
