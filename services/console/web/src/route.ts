// Every state of the office pages has an address: #/view/part/part.

import { signal } from "@preact/signals";

export const path = signal<string[]>(parse(globalThis.location?.hash ?? ""));

export function parse(hash: string): string[] {
  return hash.replace(/^#\/?/, "").split("/").filter(Boolean).map(decodeURIComponent);
}

export const address = (...parts: string[]) => "#/" + parts.map(encodeURIComponent).join("/");

/** Changes the address without adding a step to the browser's history. */
export function replaceAddress(...parts: string[]): void {
  history.replaceState(null, "", address(...parts));
  path.value = parts;
}

export function followAddress(): void {
  window.addEventListener("hashchange", () => (path.value = parse(location.hash)));
}
