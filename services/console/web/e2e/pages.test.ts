// Every page of the office and of the crews, as the demo fills it, at 1280 and 390 px and in both colour schemes: drawn
// without errors, held to the accessibility rules, not scrolling sideways. The list of pages is the router's own.
// PICTURES=folder keeps a picture of each.

import { mkdirSync } from "node:fs";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { pages, type PageName } from "../src/pagelist";
import { recordKinds } from "../src/records/kinds";
import type { Backlog, CallList, Day, DueList, Entry, FilingList, Office } from "../src/types";
import { desk, expectAccessible, openBrowser, openPage, phone, picture } from "./browser";
import { startServer, type Running } from "./server";

let server: Running;
let browser: Browser;
let examples: Record<PageName, string[]>;
let crewPages: string[];

const read = async <T>(path: string): Promise<T> => (await (await fetch(server.url + path)).json()) as T;
const post = async <T>(path: string, body: object | string): Promise<T> => {
  const plain = typeof body === "string";
  const answer = await fetch(server.url + path, { method: "POST", headers: { "Content-Type": plain ? "application/octet-stream" : "application/json" }, body: plain ? body : JSON.stringify(body) });
  if (!answer.ok) throw new Error(`${path}: ${await answer.text()}`);
  return (await answer.json()) as T;
};

beforeAll(async () => {
  [server, browser] = await Promise.all([startServer("--at", "2026-05-12T15:00", "--sites", "80"), openBrowser()]);
  const office = await read<Office>("/api/office");
  const [sent, proposed, empty] = [office.today, office.tomorrow, "2026-05-14"];
  await plan(sent);
  await post(`/api/days/${sent}/send-out`, { command_id: "a".repeat(32), digest: (await read<Day>(`/api/days/${sent}`)).digest });
  await plan(proposed);
  const day = await read<Day>(`/api/days/${proposed}`);
  const route = day.routes!.find((r) => r.visits!.length > 0)!;
  const list = await post<DueList>(`/api/intake/lists?file=due.csv&purveyor=${office.purveyors![0]!.id}&as_of=${office.today}`, "Assembly No.,Service Address,Type,Due Date\r\nZZ-1,1 Unknown Road,DCVA,02/30/2026");
  const failed = (await read<Backlog>("/api/backlog")).rows![0]!;
  const filed = (await read<FilingList>("/api/filing")).rows!.find((r) => r.about === "fail")!;
  const tests = (await read<{ tests: { event: string }[] }>(`/api/assemblies/${failed.assembly}/jobs/${failed.job}/form`)).tests;
  const call = (await read<CallList>("/api/calls?weeks=2")).customers![0]!;
  const first = new Map(await Promise.all(recordKinds.map(async (kind) => [kind, (await read<Entry[]>(`/api/registry/${kind}?limit=1`))[0]!.id] as const)));
  examples = {
    tomorrow: ["", `/${proposed}/visit/${encodeURIComponent(route.visits![0]!.key)}`, `/${sent}`, `/${sent}/otherwise`, `/${proposed}/otherwise`, `/${empty}`],
    calls: ["", "/12"],
    intake: ["", `/${list.id}`, "/gone"],
    backlog: ["", `/${failed.assembly}`],
    "left-off": [""],
    alarms: [""],
    filing: ["", "/all/all"],
    records: ["/positions", ...recordKinds.flatMap((kind) => [`/${kind}`, `/${kind}/new`, `/${kind}/${first.get(kind)}`]), `/assemblies/${failed.assembly}/fits/${failed.job}`, "/sites/gone"],
    expiries: ["", "/365"],
    customer: [`/${call.id}`],
    site: [`/${call.sites![0]!.site.id}`],
    assembly: [`/${failed.assembly}`],
    paper: [`/${failed.assembly}/${failed.job}`],
    readings: [`/${failed.assembly}/${failed.job}/${tests.at(-1)!.event}`],
    report: [`/${filed.job.assembly}/${filed.job.job}`],
    settings: [""],
    accounts: [""],
    me: [""],
  };
  const out = (await read<Day>(`/api/days/${sent}`)).routes!.find((r) => r.visits!.length > 0)!;
  crewPages = ["", `#/${out.crew.id}/${sent}`, `#/${out.crew.id}/${empty}`];
});
afterAll(async () => {
  await browser?.close();
  await server?.stop();
});

async function plan(date: string): Promise<void> {
  await post(`/api/days/${date}/plan`, {});
  while ((await read<Day>(`/api/days/${date}`)).status !== "proposed") await new Promise((wait) => setTimeout(wait, 300));
}

it.each([["1280 px, light", desk, "light"], ["390 px, dark", phone, "dark"]] as const)("every page at %s", async (name, width, colorScheme) => {
  const context = await width(browser);
  const addresses = [...pages.flatMap((view) => examples[view].map((rest) => `/#/${view}${rest}`)), ...crewPages.map((rest) => `/crew.html${rest}`)];
  const faults: string[] = [];
  const page = await openPage(context, server.url);
  await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
  for (const address of addresses) {
    await page.goto("about:blank");
    await page.goto(server.url + address);
    // What is on its way has come: nothing says "Reading…" any more, and the page has its headline.
    const whole = () => document.querySelector("h1, .refused") !== null && !/Reading…|Trying every place/.test(document.querySelector("main")?.innerText ?? "");
    await page.waitForFunction(whole).catch(() => faults.push(`${address} is never whole`));
    if (process.env.PICTURES) {
      mkdirSync(process.env.PICTURES, { recursive: true });
      await page.screenshot({ path: `${process.env.PICTURES}/${name.slice(0, 4).trim()}${address.replaceAll(/[^a-z0-9]+/gi, "-")}.png`, fullPage: true });
    }
    await expectAccessible(page, `${address} at ${name}`).catch((fault: Error) => faults.push(fault.message));
  }
  if (faults.length > 0) await picture(browser, "pages");
  await context.close();
  expect(faults).toEqual([]);
});
