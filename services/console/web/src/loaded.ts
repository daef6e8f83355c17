// Data on a page: loading, ready, stale or failed, read again when the live
// stream says that something it shows has changed.

import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { Refusal } from "./api";
import { onChange } from "./live";

export interface Loaded<T> {
  data: T | null;
  /** When `data` was read; null until the first answer. */
  readAt: number | null;
  loading: boolean;
  /** Why the last attempt failed; `data` is then what was read before. */
  failed: string[] | null;
  again: () => void;
  /** Shows an answer that came with a command, without reading again. */
  show: (data: T) => void;
}

type State<T> = Pick<Loaded<T>, "data" | "readAt" | "loading" | "failed"> & { key: string };

/** Reads now, whenever `key` changes, and whenever an entity of one of `kinds` changes. */
export function useLoaded<T>(key: string, kinds: string[], read: () => Promise<T>, date?: string): Loaded<T> {
  const [state, setState] = useState<State<T>>({ key, data: null, readAt: null, loading: true, failed: null });
  const latest = useRef(0);
  const reader = useRef(read);
  reader.current = read;

  const show = useCallback((data: T) => {
    latest.current++;
    setState({ key, data, readAt: Date.now(), loading: false, failed: null });
  }, [key]);

  const again = useCallback(() => {
    const turn = ++latest.current;
    reader.current().then(
      (data) => { if (turn === latest.current) show(data); },
      (error: unknown) => {
        if (turn !== latest.current) return;
        const failed = error instanceof Refusal ? error.sentences : [String(error)];
        setState((old) => ({ ...(old.key === key ? old : { data: null, readAt: null }), key, loading: false, failed }));
      },
    );
  }, [key, show]);

  useEffect(() => {
    again();
    return onChange(kinds, again, date);
  }, [again, kinds.join(" "), date]);

  // While a read fails it is tried again, so that the page mends itself.
  const failing = state.failed !== null;
  useEffect(() => {
    if (!failing) return;
    const timer = setInterval(again, 5000);
    return () => clearInterval(timer);
  }, [failing, again]);

  const fresh: State<T> = state.key === key ? state : { key, data: null, readAt: null, loading: true, failed: null };
  return { data: fresh.data, readAt: fresh.readAt, loading: fresh.loading, failed: fresh.failed, again, show };
}

/** The same page of something else, as of another span of days: while that is read, what stood there stays, and with it the focus and what was typed. */
export function useStaying<T>(loaded: Loaded<T>): Loaded<T> {
  const last = useRef<Loaded<T> | null>(null);
  if (loaded.data !== null) last.current = loaded;
  return { ...loaded, data: loaded.data ?? last.current?.data ?? null, readAt: loaded.readAt ?? last.current?.readAt ?? null };
}
