// What is sent to mend an entry of a history. The entry stays; what is sent is an entry of its own.

import type { CalendarDate, DeskRequest, HistoryEntry, Mend, WithdrawTimeRequest } from "./types";

export type MendRequest = { desk: DeskRequest } | { withdraw: WithdrawTimeRequest };

/** The request of one mend, with its reason in words; null for what has a page of its own. */
export function mendRequest(entry: Pick<HistoryEntry, "entity" | "id" | "event">, mend: Mend, why: string, date: CalendarDate): MendRequest | null {
  const of = { assembly: mend.assembly, job: mend.job };
  const part = { ...of, nth: mend.nth, code: mend.code };
  switch (mend.how) {
    case "note-mistake": return { desk: { kind: "correct-entry", [entry.entity]: entry.id, about: entry.event, words: why } as DeskRequest };
    case "void-result": return { desk: { kind: "void-result", ...of, about: entry.event, words: why } };
    case "release-part": return { desk: { kind: "release-part", ...part, words: why } };
    case "wrong-part": return { desk: { kind: "wrong-part", ...part, words: why } };
    case "send-back-kit": return { desk: { kind: "send-back-kit", item: mend.item, date, words: why } };
    case "withdraw-time": return { withdraw: { site: entry.id, ...(mend.feed && { feed: mend.feed }), from: mend.from!, to: mend.to!, why } };
    case "correct-readings": return null;
  }
}
