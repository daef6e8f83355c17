// The instant at which a site's clocks show a time.

import type { CalendarDate, Instant } from "../types";
import { bareClock, dateIn } from "../time";

/**
 * The instant of a date and "HH:MM" in a zone. A time that the clocks show
 * twice is the first; one that they skip is moved by what they skip (RFC 5545,
 * section 3.3.5).
 */
export function instantIn(date: CalendarDate, clock: string, zone: string): Instant {
  const wall = Date.parse(`${date}T${clock}:00Z`);
  const shownAt = (at: number) => Date.parse(`${dateIn(at, zone)}T${bareClock(at, zone)}:00Z`);
  const day = 24 * 60 * 60_000;
  const before = wall - (shownAt(wall - day) - (wall - day));
  const after = wall - (shownAt(wall + day) - (wall + day));
  const at = shownAt(before) === wall || shownAt(after) !== wall ? before : after;
  return new Date(at).toISOString();
}
