// The server's clock as it runs on after it was read: the browser's own clock
// may show another time.

import { useEffect, useRef, useState } from "preact/hooks";

const every = 15_000;

/** The server's time now, in ms since 1970: as it was read, and what has passed since. */
export function useServerNow(read: string): number {
  const at = useRef({ read, since: performance.now() });
  if (at.current.read !== read) at.current = { read, since: performance.now() };
  const [, tick] = useState(0);
  useEffect(() => {
    const timer = setInterval(() => tick((n) => n + 1), every);
    return () => clearInterval(timer);
  }, []);
  return Date.parse(read) + performance.now() - at.current.since;
}
