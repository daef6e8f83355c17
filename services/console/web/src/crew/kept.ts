// What is half typed, kept on the phone: a reload, an update or an empty
// battery loses nothing.

import { useState } from "preact/hooks";

const keyOf = (name: string) => `valveround form ${name}`;

function read<T>(name: string, empty: T): T {
  try {
    const text = localStorage.getItem(keyOf(name));
    if (text === null) return empty;
    const kept = JSON.parse(text) as T;
    return typeof empty === "object" && empty !== null && !Array.isArray(empty) ? { ...empty, ...kept } : kept;
  } catch {
    return empty; // what cannot be read is as if it had never been typed
  }
}

function write(name: string, value: unknown): void {
  try {
    if (value === undefined) localStorage.removeItem(keyOf(name));
    else localStorage.setItem(keyOf(name), JSON.stringify(value));
  } catch {
    // Storage is full or forbidden: the form still holds it until it is closed.
  }
}

/** State that survives a reload, by name, and how to forget it once it is recorded. */
export function useKept<T>(name: string, empty: T): [T, (next: T) => void, () => void] {
  const [state, setState] = useState<{ name: string; value: T }>(() => ({ name, value: read(name, empty) }));
  const value = state.name === name ? state.value : read(name, empty);
  const set = (next: T) => {
    setState({ name, value: next });
    write(name, next);
  };
  const forget = () => {
    setState({ name, value: empty });
    write(name, undefined);
  };
  return [value, set, forget];
}
