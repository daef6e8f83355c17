// The outbox and the last read day sheets, in the phone's IndexedDB.

import { openDB, type DBSchema, type IDBPDatabase } from "idb";
import type { Item, Store } from "./outbox";

interface Schema extends DBSchema {
  outbox: { key: number; value: Item };
  kept: { key: string; value: { readAt: number; value: unknown } };
}

const open = (name: string): Promise<IDBPDatabase<Schema>> =>
  openDB<Schema>(name, 1, {
    upgrade(db) {
      db.createObjectStore("outbox", { keyPath: "seq", autoIncrement: true });
      db.createObjectStore("kept");
    },
  });

export interface PhoneStore extends Store {
  /** Keeps a value that was read, for when there is no connection. */
  keep(key: string, value: unknown, readAt: number): Promise<void>;
  kept<T>(key: string): Promise<{ readAt: number; value: T } | null>;
}

export async function openPhoneStore(name = "valveround"): Promise<PhoneStore> {
  const db = await open(name);
  return {
    add: (item) => db.add("outbox", item),
    all: () => db.getAll("outbox"),
    put: async (item) => { await db.put("outbox", item); },
    remove: (seq) => db.delete("outbox", seq),
    keep: async (key, value, readAt) => { await db.put("kept", { readAt, value }, key); },
    kept: async <T>(key: string) => ((await db.get("kept", key)) as { readAt: number; value: T } | undefined) ?? null,
  };
}
