// A day of twelve stops on an enrolled phone at 390 px, over TLS: without signal from the
// second stop to the eleventh, the page loaded anew in between, then with signal
// again. What the server's own histories say afterwards is compared with what
// was tapped, one by one.

import { mkdirSync } from "node:fs";
import type { Browser, BrowserContext, Locator, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Backlog, Day, Entry, History, Office, Phone, Position } from "../src/types";
import { newCommandId } from "../src/outbox";
import { bytesTo, type Way } from "./between";
import { expectAccessible, expectTargets, installable, openPage, picture, shown } from "./browser";
import { enrolledPhone, holds, session, startSignedIn, type Secure } from "./secure";

const stops = 12;
let server: Secure;
let cookie: string;
let browser: Browser;
let way: Way;
let base: string;
let office: Office;
let crew: string;
let context: BrowserContext;
/** Site, feed and unit of ours, by the site's name. */
const ours = new Map<string, { site: string; feed: string; assembly: string; job: string }>();

async function call<T>(path: string, body?: object): Promise<T> {
  const answer = await server.call<T>(path, { cookie, body });
  if (answer.status >= 300) throw new Error(`${path}: ${answer.status} ${JSON.stringify(answer.body)}`);
  return answer.body;
}
const get = <T>(path: string): Promise<T> => call(path);
const post = <T>(path: string, body: object): Promise<T> => call(path, body);
const enter = (kind: string, facts: object) => post<Entry>(`/api/registry/${kind}`, { command_id: newCommandId(), facts });

beforeAll(async () => {
  server = await startSignedIn("--at", "2026-05-12T05:00", "--sites", "4", "--crews", "1");
  browser = await server.openBrowser();
  cookie = await session(server);
  way = await bytesTo(Number(new URL(server.url).port));
  base = `https://localhost:${way.port}`;
  office = await get<Office>("/api/office");
  crew = office.crews![0]!.id;
  await twelveSites(office.crews![0]!.home!);
  await planned(office.today);
  context = await installable(browser);
  await holds(context, server, await enrolledPhone(server, crew));
});
afterAll(async () => {
  await browser?.close();
  await way?.stop();
  await server?.stop();
});

/** Twelve sites round the crew's home, each with a double check that is due. */
async function twelveSites(home: NonNullable<Position>): Promise<void> {
  const purveyor = await enter("purveyors", { name: "Willow Bend Water", zone: office.zone, criteria_profile: "usc-10", repair: { health: { count: 10, unit: "calendar" } } });
  for (let n = 1; n <= stops; n++) {
    const name = `Mill yard ${n}`;
    const angle = (2 * Math.PI * n) / stops;
    const site = await enter("sites", {
      name, zone: office.zone, access_hours: "24/7", address: `${n} Mill Lane`, position_source: "address-point",
      position: { lat: home.lat + 0.01 * Math.cos(angle), lon: home.lon + 0.013 * Math.sin(angle) },
    });
    const feed = await enter("feeds", { site: site.id, name: "main", shutdown_window: "24/7" });
    const unit = await enter("assemblies", { site: site.id, feed: feed.id, purveyor: purveyor.id, type: "DC", size: "1 in", hazard: "health", serial: `MY-${n}` });
    const { job } = await post<{ job: string }>("/api/jobs", { command_id: newCommandId(), assembly: unit.id, kind: "annual-test", due: office.today, words: "asked for" });
    ours.set(name, { site: site.id, feed: feed.id, assembly: unit.id, job });
  }
}

async function proposed(date: string): Promise<Day> {
  await post(`/api/days/${date}/plan`, {});
  for (;;) {
    const day = await get<Day>(`/api/days/${date}`);
    if (day.status === "proposed") return day;
    await new Promise((wait) => setTimeout(wait, 200));
  }
}

/** Plans the day with our sites alone, and sends it out. */
async function planned(date: string): Promise<void> {
  let day = await proposed(date);
  const others = day.routes!.flatMap((r) => r.visits ?? []).filter((v) => !ours.has(v.site.name));
  for (const visit of others) day = await post<Day>(`/api/days/${date}/wishes`, { command_id: newCommandId(), site: visit.site.id, out: true, why: "not today" });
  if (others.length > 0) day = await proposed(date);
  expect(day.routes!.flatMap((r) => r.visits ?? []).map((v) => v.site.name).sort()).toEqual([...ours.keys()].sort());
  await post(`/api/days/${date}/send-out`, { command_id: newCommandId(), digest: day.digest });
}

async function signal(there: boolean): Promise<void> {
  way.cut(!there);
  await context.setOffline(!there);
}

async function look(page: Page, name: string): Promise<void> {
  mkdirSync("../../../test-results", { recursive: true });
  await expectAccessible(page, name);
  await expectTargets(page, name);
  await page.screenshot({ path: `../../../test-results/twelve-${name.replaceAll(" ", "-")}.png`, fullPage: true });
}

interface Told { thing: string; event: string }
/** What each tap must have become, in the order tapped: the thing and the event that stands for the tap, and what is told of the unit beside it. */
const tapped: (Told & { beside?: Told })[] = [];

const form = (page: Page) => page.locator("form.work");

async function setUp(f: Locator): Promise<void> {
  for (const label of ["Gauge", "Tester", "Procedure"]) {
    const list = f.getByRole("combobox", { name: label, exact: true });
    if ((await list.inputValue()) === "") await list.selectOption({ index: 1 });
  }
}

/** One stop, as the n-th of the day turns out. */
async function work(page: Page, n: number): Promise<void> {
  const line = page.locator("ol.sheet > li").nth(n - 1);
  const { site, feed, assembly } = ours.get((await line.locator("strong").first().textContent())!)!;
  const note = (thing: string, event: string, beside?: Told) => { tapped.push({ thing, event, ...(beside && { beside }) }); };
  const press = async (name: string | RegExp) => { await line.getByRole("button", { name }).first().click(); };
  if (n === 5) {
    await press(/^No access/);
    await line.getByLabel("What was in the way").fill("gate locked, called twice");
    await press("Record: no access");
    note(site, "no-access", { thing: assembly, event: "no-access" });
    return;
  }
  await press("We are here");
  note(site, "arrived");
  await line.getByText(/^At the site since/).waitFor();
  await press(/^Water is off/);
  note(feed, "shut-off");
  await line.locator("ol.works > li").getByRole("button").first().click();
  const f = form(page);
  await setUp(f);
  if (n === 9) {
    const png = Buffer.from("iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==", "base64");
    await f.locator("input[type=file]").setInputFiles({ name: "plate.png", mimeType: "image/png", buffer: png });
    await f.getByRole("button", { name: "Keep this photo" }).click();
    note(assembly, "photo-taken");
  }
  if (n === 7) {
    await f.getByLabel("could not test", { exact: true }).check();
    await f.getByLabel("Why it could not be tested").selectOption("buried");
    await f.getByRole("button", { name: "Record: could not test" }).click();
    note(assembly, "could-not-test");
  } else {
    await f.getByLabel("check 1", { exact: true }).fill(n === 3 ? "0.4" : "2.1");
    if (n === 6) {
      // The phone restarts in the middle of a form, without signal.
      await page.reload();
      await f.waitFor();
      expect(await f.getByLabel("check 1", { exact: true }).inputValue()).toBe("2.1");
    }
    await f.getByLabel("check 2", { exact: true }).fill("1.8");
    await f.getByLabel(n === 3 ? "failed" : "passed", { exact: true }).check();
    if (n === 3) await f.getByRole("group", { name: "Repair kits needed" }).getByLabel("check 1").fill("RK-77");
    if (n === 4) await look(page, "form offline");
    await f.getByRole("button", { name: n === 3 ? "Record: failed" : "Record: passed" }).click();
    note(assembly, "tested");
  }
  await press(/^Water is on again/);
  note(feed, "restored");
  await press("All shut-offs open, in service");
  note(feed, "as-left");
  await line.getByText("Recorded: in service").waitFor();
  await press("We leave");
  note(site, "left");
  await page.getByText(/^left 0\d:\d\d/).nth(n === 12 ? 0 : n - 1).or(page.getByText("Every stop is done.")).first().waitFor();
}

const sum = (page: Page, text: string) => page.locator(".foot-bar").getByText(text, { exact: true }).waitFor({ timeout: 60_000 });

it("twelve stops, ten of them without signal: every event once, in order", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "twelve"));
  const page = await openPage(context, `${base}/crew.html#/${crew}/${office.today}`);
  await shown(page);
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
    while (!navigator.serviceWorker.controller) await new Promise((wait) => setTimeout(wait, 50));
  });
  expect(await page.locator("ol.sheet > li").count()).toBe(stops);
  await work(page, 1);
  await sum(page, "all sent");
  const before = tapped.length;
  await signal(false);
  for (let n = 2; n < stops; n++) await work(page, n);
  await sum(page, `${tapped.length - before} waiting`);
  await page.reload();
  await sum(page, `${tapped.length - before} waiting`);
  await page.getByRole("button", { name: "See the list" }).click();
  await look(page, "all waiting");
  await page.getByRole("button", { name: "Close" }).click();
  const without = tapped.length - before;
  await signal(true);
  await sum(page, "all sent");
  await work(page, stops);
  await sum(page, "all sent");
  await look(page, "done");
  console.log(`${tapped.length} taps, ${without} of them at ten stops without signal`);
});

it("the server has each tap once, in the order tapped", async () => {
  const known = new Set(tapped.map((t) => t.event));
  const entries: { position: number; thing: string; event: string; happened: number }[] = [];
  for (const { site, feed, assembly } of ours.values()) {
    for (const [kind, id] of [["site", site], ["feed", feed], ["assembly", assembly]] as const) {
      const history = await get<History>(`/api/history/${kind}/${id}?most=200`);
      entries.push(...(history.entries ?? []).filter((e) => e.id === id && known.has(e.name)).map((e) => ({ position: e.position, thing: id, event: e.name, happened: Date.parse(e.happened) })));
    }
  }
  entries.sort((a, b) => a.position - b.position);
  expect(entries.map(({ thing, event }) => ({ thing, event }))).toEqual(tapped.flatMap(({ beside, ...told }) => [told, ...(beside ? [beside] : [])]));
  for (let i = 1; i < entries.length; i++) expect(entries[i]!.happened).toBeGreaterThanOrEqual(entries[i - 1]!.happened);
});

it("the backlog and the next plan are right", async () => {
  const byStop = await get<Day>(`/api/days/${office.today}`);
  const order = byStop.routes!.find((r) => r.crew.id === crew)!.visits!.map((v) => ours.get(v.site.name)!);
  const backlog = (await get<Backlog>("/api/backlog")).rows ?? [];
  const mine = backlog.filter((row) => order.some((o) => o.assembly === row.assembly));
  const failed = mine.filter((row) => row.failed_on);
  expect(failed.map((row) => [row.assembly, row.failed_on])).toEqual([[order[2]!.assembly, office.today]]);

  const next = await proposed(office.tomorrow);
  const there = [...next.routes!.flatMap((r) => (r.visits ?? []).flatMap((v) => v.jobs ?? [])), ...(next.left_out ?? []).flatMap((l) => l.jobs ?? [])].map((j) => j.assembly);
  const still = order.map((o, i) => [i + 1, there.includes(o.assembly)] as const).filter(([, is]) => is).map(([n]) => n);
  expect(still).toEqual([3, 5, 7]); // failed and waiting for its kit; nobody there; buried
  const routed = next.routes!.flatMap((r) => (r.visits ?? []).flatMap((v) => v.jobs ?? [])).map((j) => j.assembly);
  expect(routed).toContain(order[4]!.assembly); // tried again
  expect(routed).not.toContain(order[2]!.assembly); // its kit has not come
});

it("a phone that the office takes off keeps what it records, and sends it when it is enrolled again", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "twelve-taken-off"));
  const page = context.pages()[0]!;
  for (const { id } of await get<Phone[]>("/api/phones")) await post(`/api/phones/${id}/revoke`, { command_id: newCommandId(), why: "lost in a vault" });
  const last = page.locator("ol.sheet > li").nth(stops - 1);
  if ((await last.getByRole("button").first().getAttribute("aria-expanded")) !== "true") await last.getByRole("button").first().click();
  await last.getByRole("button", { name: "We are back" }).click();
  await sum(page, "1 waiting");
  await page.getByRole("alert").getByText("Sign in to send.").waitFor();
  await look(page, "taken off");
  await page.reload();
  await sum(page, "1 waiting");
  await holds(context, server, await enrolledPhone(server, crew));
  await page.getByRole("button", { name: "See the list" }).click();
  await page.getByRole("button", { name: "Send now" }).click();
  await sum(page, "all sent");
  const site = ours.get((await last.locator("strong").first().textContent())!)!.site;
  const arrivals = ((await get<History>(`/api/history/site/${site}?most=50`)).entries ?? []).filter((e) => e.name === "arrived");
  expect(arrivals).toHaveLength(2); // once that morning, once now
});
