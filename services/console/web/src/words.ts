// Every word the pages show, in one catalogue. The terms are the trade's;
// sentences say what happened and when; a button's verb says what it will do.

import type { Day } from "./types";
import { count, duration } from "./time";

const list = (parts: string[]) => parts.filter(Boolean).join(", ");

export const words = {
  app: "Valveround",
  skip: "Skip to the page",
  notice: "No sign-in yet: this server answers only on this machine.",
  demo: "Demo: an invented county with invented people.",
  nav: { tomorrow: "Tomorrow", backlog: "Backlog", leftOff: "Left off tonight", intake: "Lists in", label: "Pages" },
  density: { label: "Rows", comfortable: "comfortable", normal: "normal", dense: "dense" },

  states: {
    loading: "Reading…",
    nothing: "Nothing here.",
    failed: "This could not be read.",
    unreachable: "The server did not answer. Check that it is running, then try again.",
    status: (status: number) => `The server answered with status ${status} and no explanation.`,
    tryAgain: "Try again",
    readAgain: "Read again",
    stale: (at: string) => `As read at ${at}. The server is not answering now; this page tries again by itself.`,
    refused: "That was refused, and nothing was changed.",
    close: "Close",
  },

  task: { test: "Test", retest: "Retest", repair: "Repair and retest", inspect: "Inspect" },

  tomorrow: {
    title: (day: string) => `Plan for ${day}`,
    head: (day: Day): string => {
      const s = day.summary;
      return `${s.jobs_planned} of ${count(s.jobs_total, "job")} on ${count(s.routes, "route")}, ${duration(s.drive_min)} driving, `
        + `${list([count(s.deadlines_open, "deadline") + " this week still open", count(s.little_slack, "visit") + " with little slack"])}.`;
    },
    noPlan: "Nothing is planned for this day yet.",
    noPlanNext: "“Plan tomorrow” puts every open job that fits on the crews' routes and says why the rest was left out.",
    plan: (isTomorrow: boolean) => (isTomorrow ? "Plan tomorrow" : "Plan this day"),
    planAgain: "Plan again",
    stop: "Stop and keep this",
    planning: "Planning",
    planningLine: (seconds: number, cost: string, leftOut: number) => `${seconds} s: best so far costs ${cost}, ${count(leftOut, "job")} left out.`,
    planningStart: "Collecting the work and the windows…",
    planned: "Planned. Look it over, change what you must, then send it out.",
    costLine: "Cost of the best plan so far, against time",
    sendOut: (routes: number) => `Send out ${count(routes, "route")}`,
    takeBack: "Take the day back",
    takeBackReason: "Why it is taken back",
    sentOutAt: (at: string) => `Sent out ${at}. The crews' day sheets show it.`,
    amend: "Amend: something changed after the day was sent out.",
    day: "The day",
    dayPicture: "The day of each crew by hours. The lists of routes below say the same.",
    map: "Map of the routes on plain ground. The lists of routes below say the same.",
    mapTitle: "The map",
    routes: "The routes",
    leftOut: "Left out",
    leftOutNone: "Every open job that may be done that day is on a route.",
    leftOutLine: (what: string, minutes: number) => `${what}, ${duration(minutes)}.`,
    wouldFit: "What would fit it:",
    call: (phone: string) => `Call ${phone}`,
    littleSlack: "little slack",
    held: "held here",
    isSent: "sent out",
    change: "Change",
    changeVisit: (n: number, site: string) => `Change visit ${n}, ${site}`,
    hold: "Hold this visit here",
    release: "Release the hold",
    move: "Move the visit",
    toCrew: "To crew",
    place: "As stop",
    moveTo: (letter: string, place: number) => `Move to ${letter}, stop ${place}`,
    leaveOut: "Leave it out",
    reason: "Reason for leaving it out",
    noVisits: "No visits.",
    daySheet: "Day sheet",
    noWaterOff: "no water off",
    waterOff: (off: string, windows: string, slack: string) =>
      `water off ${off}${windows ? `, may be off ${windows}` : ""}${slack ? `, slack ${slack}` : ""}`,
    deadline: (left: string) => `deadline: ${left}`,
    earlier: "Day before",
    later: "Day after",
    key: {
      visit: "visit", waterOff: "water off", window: "when it may be off", travel: "travel", held: "held", sentOut: "sent out",
    },
  },
};
