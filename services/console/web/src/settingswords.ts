// The words of the settings page.

export const settings = {
  head: (differing: number) => (differing === 0 ? "Planning with the default settings" : differing === 1 ? "Planning with 1 setting of the firm's own" : `Planning with ${differing} settings of the firm's own`),
  lead: "Durations, weights and limits are common practice to start from; local code and the purveyor's rules come first. A plan says what it was made with; after a change, plan the day again.",
  changed: (at: string, who: string, why: string) => `Changed last ${at}${who ? ` by ${who}` : ""}${why ? `: ${why}` : ""}.`,
  learned: "What the log says",
  learnedLead: "Minutes with the water off. Means of few visits are drawn towards the setting, which counts as ten; means of crews towards that of all.",
  nothingLearned: "Nothing is on record yet from which a time could be learned: it takes arrivals and departures, or water off and on, from the crews' phones.",
  columns: { work: "Work", learned: "Learned", from: "From", setting: "Setting", crews: "By crew" },
  minutes: (n: number) => `${n} min`,
  visits: (n: number) => (n === 1 ? "1 visit" : `${n} visits`),
  crew: (name: string, minutes: number, n: number) => `${name} ${minutes} min (${n})`,
  use: (n: number) => `Put in ${n}`,
  useFor: (name: string, n: number) => `Put in ${n} min for ${name}`,
  leftOut: (n: number) => `${n} recorded ${n === 1 ? "time was" : "times were"} left out: no work is so short or so long.`,
  byDefault: (n: number) => `by default ${n}`,
  why: "Why (kept in the log)",
  save: (n: number) => (n === 1 ? "Plan with 1 change" : `Plan with ${n} changes`),
};
