import { api } from "../api";
import { useLoaded, type Loaded } from "../loaded";
import type { Entry, RecordKind } from "../types";
import { eventKind, titleOf, type NameOf } from "./kinds";

export type Entries = Partial<Record<RecordKind, Entry[]>>;

/** Every record of some kinds, read again when one of them changes. */
export function useEntries(kinds: RecordKind[]): Loaded<Entries> {
  return useLoaded(`records ${kinds.join(" ")}`, kinds.map((kind) => eventKind[kind]), async () => {
    const lists = await Promise.all(kinds.map((kind) => api.entries(kind)));
    return Object.fromEntries(kinds.map((kind, i) => [kind, lists[i]!])) as Entries;
  });
}

/** How records are called by kind and id; an unknown one by its id. */
export function namesOf(entries: Entries): NameOf {
  const names = new Map<string, string>();
  for (const [kind, list] of Object.entries(entries) as [RecordKind, Entry[]][]) {
    for (const e of list) names.set(`${kind} ${e.id}`, titleOf(kind, e.id, e.facts, e.details));
  }
  return (kind, id) => names.get(`${kind} ${id}`) ?? id;
}
