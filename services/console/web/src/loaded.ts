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
  failed: string | null;
  again: () => void;
}

/** Reads with `read` now, whenever `key` changes, and whenever one of `topics` changes. */
export function useLoaded<T>(key: string, topics: string[], read: () => Promise<T>): Loaded<T> {
  const [state, setState] = useState<Omit<Loaded<T>, "again"> & { key: string }>({
    key, data: null, readAt: null, loading: true, failed: null,
  });
  const latest = useRef(0);
  const reader = useRef(read);
  reader.current = read;

  const again = useCallback(() => {
    const turn = ++latest.current;
    reader.current().then(
      (data) => {
        if (turn === latest.current) setState({ key, data, readAt: Date.now(), loading: false, failed: null });
      },
      (error: unknown) => {
        if (turn !== latest.current) return;
        const failed = error instanceof Refusal ? error.message : String(error);
        setState((old) => ({ ...(old.key === key ? old : { data: null, readAt: null }), key, loading: false, failed }));
      },
    );
  }, [key]);

  useEffect(() => {
    again();
    const stop = onChange(topics, again);
    return stop;
  }, [again, topics.join(" ")]);

  const fresh = state.key === key;
  return {
    data: fresh ? state.data : null,
    readAt: fresh ? state.readAt : null,
    loading: fresh ? state.loading : true,
    failed: fresh ? state.failed : null,
    again,
  };
}
