// The office's pages, by the first part of their address. The router has a view for each, and the sweep of the tests an
// example: the compiler misses neither.

export const pages = [
  "tomorrow", "calls", "intake", "backlog", "left-off", "alarms", "filing", "records", "expiries",
  "customer", "site", "assembly", // what the search box and links from elsewhere name by kind
  "paper", "readings", "report",
  "settings", "accounts", "me",
] as const;

export type PageName = (typeof pages)[number];

export const isPage = (name: string): name is PageName => (pages as readonly string[]).includes(name);
