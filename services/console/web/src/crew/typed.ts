// A date and time as typed at the stop: it is meant on the clocks of the site,
// whatever the phone's own zone is.

import { phoneWords } from "../phonewords";
import { instantIn } from "../records/zoned";
import type { Instant } from "../types";

/** The instant of what a date-and-time field holds ("2026-05-12T11:00", with or without seconds), on a zone's clocks. */
export function instantAt(typed: string, zone: string): Instant {
  const [date, time = "00:00"] = typed.split("T");
  return instantIn(date!, time.slice(0, 5), zone);
}

/** What to say beside such a field: which clocks, when they are not the phone's own. */
export function zoneNote(zone: string, own = Intl.DateTimeFormat().resolvedOptions().timeZone): string {
  return zone === own ? "" : ` (${phoneWords.zoneNote(zone)})`;
}
