// The catalogue's part for mending entries, keying in papers, histories, filling feeds and changing a day that is out.

import { count } from "./time";

export const mends = {
  open: "Mend",
  openOf: (day: string, entry: string) => `Mend the entry of ${day}: ${entry}`,
  stays: "The entry itself stays in the log and on this page; what you record stands beside it.",
  what: "What is to be mended",
  how: {
    "note-mistake": "This entry is a mistake: note what is right",
    "correct-readings": "The readings were read or written wrongly",
    "void-result": "The result does not count: wrong job or wrong outcome",
    "release-part": "The part is not for this job after all",
    "wrong-part": "It is the wrong part",
    "send-back-kit": "The repair kit goes back",
    "withdraw-time": "The time agreed holds no more",
  } as Record<string, string>,
  ask: {
    "note-mistake": "What is wrong, and what is right",
    "void-result": "Why it does not count",
    "release-part": "Why it is not for this job",
    "wrong-part": "What is wrong with it",
    "send-back-kit": "Why it goes back, and how",
    "withdraw-time": "Why it holds no more",
  } as Record<string, string>,
  record: {
    "note-mistake": "Record: mistaken entry",
    "void-result": "Record: does not count",
    "release-part": "Record: set free",
    "wrong-part": "Record: wrong part",
    "send-back-kit": "Record: sent back",
    "withdraw-time": "Record: holds no more",
  } as Record<string, string>,
  effect: {
    "note-mistake": "Nothing else changes by it: what the entry did stands.",
    "void-result": "The job stands again where it stood before this result.",
    "release-part": "The part is needed again, and the return visit waits for it.",
    "wrong-part": "The part is needed again; the kit is free for no job and can go back.",
    "send-back-kit": "The kit is on no shelf any more.",
    "withdraw-time": "The planner does not keep to it any more. If they count on it, call them.",
  } as Record<string, string>,
  toReadings: "Correct the readings",
  onDay: "On",
  part: (code: string, item: string) => [code, item].filter(Boolean).join(", "),
  done: (what: string) => `Recorded. ${what}`,
};

export const story = {
  title: "What happened here",
  lead: { sites: "At this site, on its feeds and to its assemblies, newest first.", customers: "At all sites of this customer, newest first.", other: "Newest first." },
  none: "Nothing is recorded yet.",
  earlier: (n: number) => `Show ${n} earlier`,
  find: "Show only entries with",
  shown: (n: number, of: number) => (n === of ? `${count(of, "entry", "entries")}.` : `${n} of ${count(of, "entry", "entries")}.`),
};

export const amend = {
  lead: "This day is out: the change goes to the crews' phones at once. What has begun stays. Call the crew, and the site where its time moves.",
  takeOff: "Take it off the day",
  reason: "Why it is taken off",
};

export const bulk = {
  title: (kind: string) => `${kind}: edit many in a spreadsheet`,
  link: "Edit many in a spreadsheet",
  lead: "Save the file, edit it in any spreadsheet, and choose it here. What differs is shown first; nothing is taken before you say so. Rows and columns that the file lacks stay as they are.",
  save: (kind: string) => `Save ${kind.toLowerCase()} (CSV)`,
  file: "The edited file (CSV or XLSX)",
  nothing: "The file says what is on record.",
  onlyFaults: "Nothing would change: what differs in the file cannot be taken.",
  head: (changed: number, fresh: number) => `${count(changed, "record")} would change${fresh > 0 ? `, ${fresh} of them new` : ""}.`,
  rest: (same: number, absent: number) => [`${count(same, "row")} as on record`, absent > 0 && `${count(absent, "record")} not in the file: they stay`].filter(Boolean).join("; ") + ".",
  faults: (n: number) => `${count(n, "thing")} in the file cannot be taken; those rows are left out.`,
  fault: (row: number, column: string, value: string, problem: string, todo: string) =>
    [`Row ${row}${column ? `, ${column.replaceAll("_", " ")}` : ""}${value ? ` "${value}"` : ""} ${problem}`, todo].filter(Boolean).join(": "),
  caption: "What differs, cell by cell",
  columns: { record: "Record", column: "Column", was: "On record", is: "In the file" },
  isNew: "new",
  blank: "blank",
  not: "is recorded where it happens, not here",
  more: (n: number) => `${count(n, "more record")} differ${n === 1 ? "s" : ""}; all are taken together.`,
  take: (n: number) => `Take ${count(n, "change")}`,
  done: (n: number) => `Taken: ${count(n, "record")} changed. Each change stands in its history, with the word that it came from a spreadsheet.`,
};

export const fill = {
  title: "To be filled",
  lead: "Feeds that were left shut, are drained, or are not known to hold water. Nothing on them can be tested before they are filled. The site's responsible person opens them, not the office.",
  none: "Every feed with work due is on record as holding water.",
  counts: (feeds: number, jobs: number) => `${count(feeds, "feed")}${jobs > 0 ? `, ${count(jobs, "job")} waiting` : ""}`,
  open: "Filled…",
  openOf: (customer: string) => `Record that feeds of ${customer} are filled`,
  which: "Which of them are filled, with the water on",
  line: (site: string, feed: string, why: string, jobs: number) => `${site}: ${feed}, ${why}${jobs > 0 ? `; ${count(jobs, "job")} ${jobs === 1 ? "waits" : "wait"}` : ""}`,
  by: "Who says so",
  record: (n: number) => `Record: ${count(n, "feed")} filled`,
  done: (n: number) => `Recorded: ${count(n, "feed")} filled. What waited for the water can be planned.`,
};

export const paper = {
  title: (unit: string, site: string) => `Result from paper: ${unit}, ${site}`,
  short: "Result from paper",
  link: "Key in a result from paper",
  linkOf: (unit: string, site: string) => `Key in a result from paper: ${unit}, ${site}`,
  lead: "Key in what the signed paper says, as it says it. Only the tester changes a reading, later on.",
  the: "The signed paper",
  file: "Scan or PDF of it",
  reading: "Keeping the copy…",
  kept: (size: string) => `Kept, ${size}.`,
  hash: "SHA-256",
  look: "Look at the copy",
  signedOn: "Signed on",
  visitOn: "Day of the visit, if another",
  at: "Time of the test",
  crew: "Crew",
  noCrew: "not on the paper",
  by: "Keyed in by",
  before: "Keyed in before for this job",
  beforeLine: (day: string, tester: string, by: string) => `signed ${day} by ${tester}, keyed in by ${by}`,
  left: "As left",
  saysLeft: "The paper says how the feed was left",
  leftLead: (feed: string) => `Each shut-off of ${feed}, as the paper says. What it does not say is not guessed.`,
  leftAt: "Left at",
  record: (outcome: string) => `Key in: ${outcome}`,
  recordNothing: "Key it in",
  lacks: {
    paper: "Attach the signed paper.", signed: "Say on which day it was signed.", signer: "Choose who tested and signed.", by: "Say who keys it in.", at: "Say at what time it was tested. If the paper does not say, take the earliest that the crew can have been there: the purveyor's clock runs from it.",
    left: "Say of each shut-off how it was left, whether the feed serves, and when.",
  },
  recorded: (outcome: string) => `Keyed in: ${outcome}.`,
  toReport: "See the report",
  toFiling: "File it",
  toAssembly: "The assembly and its history",
  kB: (bytes: number) => (bytes < 1_000_000 ? `${Math.max(1, Math.round(bytes / 1000))} kB` : `${(bytes / 1_000_000).toFixed(1)} MB`),
};

export const readings = {
  title: (unit: string, site: string) => `Correct readings: ${unit}, ${site}`,
  only: (tester: string) => `Only the tester changes a reading. This test is ${tester}'s.`,
  stays: (says: string) => `The verdict, ${says}, stays as the tester gave it. If that is wrong too, take the result back in the history and record it again.`,
  says: { pass: "passed", fail: "failed", "not-completed": "not completed" } as Record<string, string>,
  was: "As first recorded, and as it stands",
  corrected: "These readings were corrected before.",
  now: "As read in truth",
  why: "Why they are corrected",
  by: "I am",
  record: "Record the corrected readings",
  recorded: "Recorded. The first entry stays in the history, with this beside it.",
  none: "There is no such test of this job. It may have been taken back.",
  lacks: { by: "Say who you are.", why: "Say why.", same: "Nothing is changed yet." },
};
