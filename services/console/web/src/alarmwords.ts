// The words of what the office is asked to look into, and of a file from a phone.

import { count } from "./time";

export const alarms = {
  title: "To look into",
  head: (n: number) => (n === 0 ? "Nothing from the field is left to look into." : `${count(n, "thing")} from the field to look into.`),
  lead: "What a crew recorded is never refused. Where it does not fit what else is known, both are kept, and it is shown here until somebody says what came of it.",
  none: "Everything that came from the field fits together, or somebody has said what came of it.",
  unfiled: "Could not be filed",
  said: "Happened",
  received: "Came in",
  who: "Recorded by",
  whatToDo: "What to do",
  asSent: "As the phone sent it",
  words: "What came of it",
  settle: "Record what came of it",
  settleOf: (what: string) => `Record what came of it: ${what}`,
  open: "Open its history",
  settledTitle: "Settled in the last seven days",
  settled: (by: string, at: string) => `Seen by ${by}, ${at}:`,
  file: {
    title: "A file from a phone",
    lead: "A phone that cannot send saves its outbox as a file. Take it in here: what has arrived already is not recorded twice, also when the phone sends it later.",
    choose: "The file",
    take: "Take the file in",
    taking: "Taking it in…",
    notOurs: "This is not a file that a phone saved here: it must be JSON with \"valveround_outbox\".",
    done: (recorded: number, known: number, refused: number) => `${recorded} recorded, ${known} known already, ${refused} not taken.`,
    outcomes: { recorded: "recorded", known: "known already", refused: "not taken" } as Record<string, string>,
    of: (label: string, outcome: string) => `${label}: ${outcome}`,
  },
};
