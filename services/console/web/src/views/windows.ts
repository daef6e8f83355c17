import type { Span, WaterOff } from "../types";

/** The shutdown windows that the planned water-off time lies in; the day's others say nothing about its slack. */
export const windowsAround = (off: WaterOff): Span[] =>
  (off.windows ?? []).filter((w) => Date.parse(w.open) < Date.parse(off.to) && Date.parse(off.from) < Date.parse(w.close));
