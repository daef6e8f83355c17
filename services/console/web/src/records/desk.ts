import { useState } from "preact/hooks";
import { api, Refusal } from "../api";
import type { DeskRequest } from "../types";

/** A desk command's two ends: what it said when it was done, or why it was refused. */
export function useDesk() {
  const [done, setDone] = useState<string | null>(null);
  const [refused, setRefused] = useState<string[] | null>(null);
  const record = (request: DeskRequest, words: string, then?: () => void) => {
    setDone(null);
    setRefused(null);
    api.desk(request).then(() => { setDone(words); then?.(); }, (error: unknown) => setRefused(error instanceof Refusal ? error.sentences : [String(error)]));
  };
  return { done, refused, record };
}
