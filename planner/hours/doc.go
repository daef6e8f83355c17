// Package hours reads and expands the times at which something may happen at a site: when a crew may be there, and when a
// feed may be dry. The notation is a subset of the OpenStreetMap opening-hours syntax, an open specification (version
// 0.7.4, https://wiki.openstreetmap.org/wiki/Key:opening_hours/specification).
//
//	Mo-Fr 05:00-09:00,13:00-15:00      weekdays, two windows a day
//	Fr-Mo 22:00-02:00                  a range over the week's end, a window over midnight
//	Apr-Oct Mo-Fr 08:00-16:00          a season
//	Mo-Fr 08:00-16:00; Dec 24-26 off   a later rule takes over the days it names
//	Mo-Fr 08:00-12:00, We 14:00-16:00  a rule after a comma adds to the days it names
//	24/7; 2026 Dec 24 12:00-24:00 off  always, but for one afternoon
//	Sa 08:00-12:00 open "ring at gate" a note, kept with the rule
//	week 01-53/2 Mo 08:00-12:00        Mondays of the odd weeks
//	We[2] 08:00-12:00, Fr[-1] 13:00-16:00  second Wednesday, last Friday of the month
//	Mo-Fr 08:00-16:00; PH off          not on public holidays
//	Mo-Fr,PH 05:00-09:00               on them too
//
// # Grammar
//
//	hours      = rule { ( ";" | "," ) rule } [ ";" ]
//	rule       = "24/7" [ state ] | [ dates ] [ weeks ] [ ":" ] [ days ] [ times ] [ state ]     at least one part
//	dates      = dateRange { "," ( dateRange | day [ "-" day ] ) }
//	dateRange  = year [ "-" year ]
//	           | [ year ] month [ "-" month ]
//	           | [ year ] month day [ "-" ( day | month day | year month day ) ]
//	weeks      = "week" weekRange { "," weekRange }
//	weekRange  = week [ "-" week [ "/" step ] ]
//	days       = someDay { "," someDay }
//	someDay    = "PH" | weekday [ "-" weekday ] | weekday "[" nth { "," nth } "]"
//	nth        = number [ "-" number ] | "-" number
//	times      = clock "-" clock { "," clock "-" clock }
//	state      = ( "open" | "off" | "closed" ) [ comment ]
//
// A rule with no dates is for every date, with no weeks for every week, with no days for every weekday, with no times for
// the whole day. Weeks are those of ISO 8601. What public holidays are (PH) is for a calendar to say, see [Hours.Observing].
// What the specification knows beyond this (school holidays, days counted from another, sunrise, open ends, fallback rules,
// "perhaps open") is refused with a [SyntaxError] that says where and what; nothing is guessed. So is what
// readers of the notation take differently, or is likely a slip: an open rule after ";" that names no days and would leave
// nothing of the rules before it, a window that closes at the minute it opens, "2026 Nov-Mar".
//
// # Which rule wins
//
// Each calendar day of the site, midnight to midnight, is settled on its own, taking the rules from left to right.
//
//   - An open rule after ";" that matches the day wipes what earlier rules said about that day, also what reached into it
//     over midnight from the day before. What an earlier rule reaches into the following day stays.
//   - An open rule after "," adds to it.
//   - A closed rule takes away its times, or the whole day if it has none.
//   - A window over midnight belongs to the day it begins on; its part after midnight is added to the next day and wipes
//     nothing there.
//
// # Daylight saving
//
// Times are wall-clock times in the site's zone. Where a clock time is skipped or comes twice the rule is that of RFC 5545
// section 3.3.5: a skipped time is read with the offset before the change (02:30 becomes 03:30, so a window keeps its
// length), and a time that comes twice is its first occurrence. A window of which every clock time is skipped does not
// happen that day.
package hours
