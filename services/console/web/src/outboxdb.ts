// The outbox and the last read day sheets, in the phone's IndexedDB.
//
// An old and a new version of the page share this database: its version stays 1,
// and an item keeps the fields that a version does not know.

import { openDB, type DBSchema, type IDBPDatabase } from "idb";
import type { Item, Store } from "./outbox";

interface Schema extends DBSchema {
  outbox: { key: number; value: Item };
  kept: { key: string; value: Kept<unknown> };
}

export interface Kept<T> { readAt: number; value: T }

const open = (name: string, lost: () => void): Promise<IDBPDatabase<Schema>> =>
  openDB<Schema>(name, 1, {
    upgrade(db) {
      db.createObjectStore("outbox", { keyPath: "seq", autoIncrement: true });
      db.createObjectStore("kept");
    },
    // A later version in another tab may want to change it: it is let, and opened again when needed.
    blocking(_was, _wants, event) {
      (event.target as IDBDatabase).close();
      lost();
    },
    terminated: lost,
  });

export interface PhoneStore extends Store {
  /** Keeps a value that was read, for when there is no connection. */
  keep(key: string, value: unknown, readAt: number): Promise<void>;
  kept<T>(key: string): Promise<Kept<T> | null>;
  /** The keys of what is kept. */
  keys(): Promise<string[]>;
  /** Forgets kept values by their key. */
  forget(which: (key: string) => boolean): Promise<void>;
}

export async function openPhoneStore(name = "valveround"): Promise<PhoneStore> {
  let db: IDBPDatabase<Schema> | null = null;
  const ready = async () => (db ??= await open(name, () => { db = null; }));
  await ready();
  return {
    // Strict: written to the disk before the tap counts as kept (a phone's battery may be empty the next moment).
    add: async (item) => {
      const tx = (await ready()).transaction("outbox", "readwrite", { durability: "strict" });
      const [seq] = await Promise.all([tx.store.add(item), tx.done]);
      return seq;
    },
    all: async () => (await ready()).getAll("outbox"),
    put: async (item) => { await (await ready()).put("outbox", item); },
    remove: async (seq) => (await ready()).delete("outbox", seq),
    keep: async (key, value, readAt) => { await (await ready()).put("kept", { readAt, value }, key); },
    kept: async <T>(key: string) => ((await (await ready()).get("kept", key)) as Kept<T> | undefined) ?? null,
    keys: async () => (await ready()).getAllKeys("kept"),
    forget: async (which) => {
      const now = await ready();
      for (const key of await now.getAllKeys("kept")) if (which(key)) await now.delete("kept", key);
    },
  };
}

/** For a browser that lets nothing be stored: all is gone when the page is closed. */
export function memoryStore(): PhoneStore {
  const refuse = () => Promise.reject(new DOMException("nothing can be stored here", "QuotaExceededError"));
  const values = new Map<string, Kept<unknown>>();
  return {
    add: refuse, put: refuse, all: async () => [], remove: async () => {},
    keep: async (key, value, readAt) => { values.set(key, { readAt, value }); },
    kept: async <T>(key: string) => (values.get(key) as Kept<T> | undefined) ?? null,
    keys: async () => [...values.keys()],
    forget: async (which) => { for (const key of values.keys()) if (which(key)) values.delete(key); },
  };
}
