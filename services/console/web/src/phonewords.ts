// The words of the phone's shell: what is sent and what waits, storage, a newer
// version of the page, and how old a day is.

import { count } from "./time";

export const phoneWords = {
  late: (at: string, by: string, tooLate: boolean) => `At this rate you are here about ${at}, ${by} late. ${tooLate ? "That is too late for the hours there: call the office." : "Call whoever waits."}`,
  asOf: (at: string) => `as of ${at}`,
  total: (sent: number, waiting: number, refused: number) => [`${sent} sent`, `${waiting} waiting`, `${refused} refused`].join(", "),
  noSignal: "no connection",
  allAgain: (n: number) => `Send all ${n} refused again`,
  signIn: "Sign in to send. Everything recorded stays on this phone.",
  lateInList: (at: string, tooLate: boolean) => (tooLate ? `expected too late for its hours: about ${at}` : `expected late: about ${at}`),
  signInLink: "Enrol this phone, or sign in",
  full: (n: number) => `The phone's storage is full: ${count(n, "entry", "entries")} could not be kept and would be lost when this page is closed. Leave it open until all is sent, or save the file below now. To make room, delete pictures or apps.`,
  fullPhotos: (n: number) => `The phone's storage is full: ${count(n, "picture")} could not be kept and would be lost when this page is closed. Leave it open until all is sent, or save the file below now.`,
  noStore: "This browser keeps nothing for this page (a private window, or storage is switched off). What you record is lost when the page is closed before it is sent.",
  save: "Save what is not sent as a file",
  saveHow: "As a last resort: bring or mail the file to the office, which takes it in. Nothing that also arrives otherwise counts twice.",
  fileName: (day: string, time: string) => `valveround-outbox-${day}-${time}.json`,

  newer: "A newer version of this page is here.",
  useIt: "Use it now",
  useNote: "What is recorded and what is half typed stays.",
  notInstalled: "This page cannot be opened without signal: the office's certificate is not trusted on this phone.",
  trust: "How to trust it",

  past: (n: number) => `History of this unit: ${count(n, "entry", "entries")}`,
  kits: (n: number) => `Repair kits that fit: ${n} at hand`,
  kit: (code: string, n: number, where: string, mine?: boolean) => `${code}: ${n}, ${where}${mine ? ", reserved for this job" : ""}`,
  kept: (at: string) => `on this phone, as of ${at}`,
  zoneNote: (zone: string) => `on the site's clocks, ${zone}`,
};
