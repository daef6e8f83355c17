// The phone's clock beside the server's. What is recorded carries the phone's
// own time and how far it was off at the last sync; what is shown here is put
// right by that, so that a clock wrong by hours shows the right hours.

import { signal } from "@preact/signals";

/** The phone's clock minus the server's in ms, at the last sync; undefined before the first. */
export const clockOffset = signal<number | undefined>(undefined);

/**
 * What a clock is off after an answer that was asked for at one time and came at
 * another, by it, and in which the server wrote its own time. What the way may
 * account for is no change: two taps in a row keep their order (the midpoint of
 * asking and answer, as in RFC 5905, section 8; the second is for rounding).
 */
export function offsetAfter(was: number | undefined, asked: number, came: number, server: number): number {
  const measured = (asked + came) / 2 - server;
  const unsure = (came - asked) / 2 + 1_000;
  return was !== undefined && Math.abs(measured - was) <= unsure ? was : measured;
}

/** The time now by the server's clock, as well as it is known, in ms since 1970. */
export const serverNow = (): number => Date.now() - (clockOffset.value ?? 0);

/** When something was tapped, by the server's clock as well as it was known then. */
export const tappedAt = (request: { happened: string; clock_offset_ms?: number }): string =>
  request.clock_offset_ms ? new Date(Date.parse(request.happened) - request.clock_offset_ms).toISOString() : request.happened;
