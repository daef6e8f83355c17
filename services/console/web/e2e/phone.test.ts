// The phone's page as an installed one, in a real browser at 390 px: it opens
// without signal, a newer version loses nothing, a full phone says so, and the
// outbox leaves it as a file.

import { mkdirSync, readFileSync } from "node:fs";
import { gzipSync } from "node:zlib";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Day, History, Office } from "../src/types";
import { newCommandId } from "../src/outbox";
import { bytesTo, pagesOf, type Way } from "./between";
import { expectAccessible, expectTargets, installable, openBrowser, openPage, picture, shown } from "./browser";
import { startServer, type Running } from "./server";

let server: Running;
let browser: Browser;
let way: Way;
let base: string;
let office: Office;
let crew: string;
let another: string;

beforeAll(async () => {
  [server, browser] = await Promise.all([startServer("--at", "2026-05-12T05:00", "--sites", "60"), openBrowser()]);
  way = await bytesTo(Number(new URL(server.url).port));
  base = `http://127.0.0.1:${way.port}`;
  office = await get<Office>("/api/office");
  for (const date of [office.today, office.tomorrow]) {
    await post(`/api/days/${date}/plan`, {});
    const day = await proposed(date);
    await post(`/api/days/${date}/send-out`, { command_id: newCommandId(), digest: day.digest });
    const busy = day.routes!.filter((r) => (r.visits ?? []).length >= 3).map((r) => r.crew.id);
    if (date === office.today) [crew, another] = busy as [string, string];
  }
});
afterAll(async () => {
  await browser?.close();
  await way?.stop();
  await server?.stop();
});

const get = async <T>(path: string): Promise<T> => (await (await fetch(server.url + path)).json()) as T;
async function post(path: string, body: object): Promise<void> {
  const answer = await fetch(server.url + path, { method: "POST", headers: { "Content-Type": "application/json", "X-Valveround": "1" }, body: JSON.stringify(body) });
  if (!answer.ok) throw new Error(`${path}: ${answer.status} ${await answer.text()}`);
}
async function proposed(date: string): Promise<Day> {
  for (;;) {
    const day = await get<Day>(`/api/days/${date}`);
    if (day.status === "proposed") return day;
    await new Promise((wait) => setTimeout(wait, 200));
  }
}

const dayOf = (date: string, at = base) => `${at}/crew.html#/${crew}/${date}`;

/** A page whose files are on the phone, and which is run by them. */
async function installed(context: BrowserContext, url: string): Promise<Page> {
  const page = await openPage(context, url);
  await shown(page);
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
    while (!navigator.serviceWorker.controller) await new Promise((wait) => setTimeout(wait, 50));
  });
  return page;
}

/** No signal, whatever the browser thinks of its connection. */
async function signal(context: BrowserContext, there: boolean, over = way): Promise<void> {
  over.cut(!there);
  await context.setOffline(!there);
}

const sum = (page: Page, text: string) => page.locator(".foot-bar").getByText(text, { exact: true }).waitFor({ timeout: 40_000 });

async function look(page: Page, name: string): Promise<void> {
  mkdirSync("../../../test-results", { recursive: true });
  await expectAccessible(page, name);
  await expectTargets(page, name);
  await page.screenshot({ path: `../../../test-results/phone-${name.replaceAll(" ", "-")}.png`, fullPage: true });
}

it("loads at most 120 kB of script at the start, compressed", async () => {
  const seen = new Map<string, number>();
  const follow = async (url: string): Promise<void> => {
    if (seen.has(url)) return;
    const text = await (await fetch(url)).text();
    seen.set(url, gzipSync(text).length);
    for (const [, file] of text.matchAll(/(?:from|import)\s*["']([^"']+\.js)["']/g)) await follow(new URL(file!, url).href);
  };
  const html = await (await fetch(`${server.url}/crew.html`)).text();
  const scripts = [...html.matchAll(/(?:src|href)="([^"]+\.js)"/g)].map(([, file]) => file!);
  expect(scripts.length).toBeGreaterThan(0);
  for (const file of scripts) await follow(new URL(file, `${server.url}/`).href);
  const bytes = [...seen.values()].reduce((a, b) => a + b, 0);
  console.log(`the crew's page loads ${seen.size} scripts, ${(bytes / 1000).toFixed(1)} kB compressed`);
  expect(bytes).toBeLessThanOrEqual(120_000);
});

it("can be installed", async () => {
  const html = await (await fetch(`${server.url}/crew.html`)).text();
  const manifest = (await (await fetch(`${server.url}/${/rel="manifest"[^>]*href="([^"]+)"/.exec(html)![1]}`)).json()) as { start_url: string; display: string; icons: { src: string; sizes: string; type: string }[] };
  expect(manifest).toMatchObject({ start_url: "./crew.html", display: "standalone" });
  for (const size of ["192x192", "512x512"]) expect(manifest.icons.map((i) => i.sizes)).toContain(size); // what Chromium asks for, from memory
  for (const icon of manifest.icons.filter((i) => i.type === "image/png")) {
    const png = Buffer.from(await (await fetch(`${server.url}/${icon.src}`)).arrayBuffer());
    // Width and height stand in the IHDR chunk: PNG specification, third edition, 11.2.1.
    expect(`${png.readUInt32BE(16)}x${png.readUInt32BE(20)}`).toBe(icon.sizes);
  }
});

it("opens without signal, both days, and says as of when", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "phone-offline"));
  const context = await installable(browser);
  const page = await installed(context, dayOf(office.today));
  await page.getByText(/as of 0\d:\d\d/).first().waitFor();
  // The day after is read once today is shown: leaving the page at once would cut that short, so go on until both are kept.
  const kept = page.getByText(/on this phone, as of/);
  await expect.poll(async () => {
    await page.goto(dayOf(office.today));
    await page.getByText(/as of 0\d:\d\d/).first().waitFor();
    await page.waitForTimeout(300);
    await page.goto(`${base}/crew.html`);
    await kept.first().waitFor();
    await page.waitForTimeout(300);
    return kept.count();
  }, { timeout: 60_000 }).toBeGreaterThan(1);
  await signal(context, false);

  await page.reload();
  await page.getByText(/on this phone, as of 0\d:\d\d/).nth(1).waitFor();
  await look(page, "choose offline");
  await page.getByRole("link").filter({ hasText: "on this phone" }).nth(1).click();
  await page.getByText(/This is the day as read at 0\d:\d\d/).waitFor();
  const stops = (await get<Day>(`/api/days/${office.tomorrow}`)).routes!.find((r) => r.crew.id === crew)?.visits?.length ?? 0;
  expect(await page.locator("ol.sheet > li").count()).toBe(stops);

  await page.goto(dayOf(office.today));
  await page.getByText(/This is the day as read at/).waitFor();
  await page.getByRole("button", { name: "We are here" }).click();
  await sum(page, "1 waiting");
  await page.reload();
  await page.getByText(/^At the site since 05:\d\d/).waitFor(); // by the server's clock, which the phone learned before
  await look(page, "day offline");
  await page.getByRole("button", { name: "See the list" }).click();
  await page.getByText("0 sent, 1 waiting, 0 refused").waitFor();
  await look(page, "list offline");
  await signal(context, true);
  await sum(page, "all sent");
  await page.getByText("1 sent, 0 waiting, 0 refused").waitFor();
  await context.close();
});

it("a newer version: the old page works on beside it, and nothing recorded or half typed is lost", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "phone-newer"));
  let later = false;
  const change = (path: string, text: string) =>
    !later ? text : path.startsWith("/crew-worker.js") ? text.replace(/^(var|let|const) (\w+)=(["'`])\w{16}\3/, "$1 $2=$3later00000000000$3") : path.startsWith("/crew.html") ? text.replace("<title>", "<title>Later ") : text;
  const over = await pagesOf(Number(new URL(server.url).port), change);
  const url = `http://127.0.0.1:${over.port}/crew.html#/${another}/${office.today}`;
  const context = await installable(browser);
  const page = await installed(context, url);
  const other = await installed(context, url);
  await signal(context, false, over);
  await page.getByRole("button", { name: "We are here" }).click();
  await sum(page, "1 waiting");
  await page.locator("ol.works > li").first().getByRole("button").first().click();
  await page.getByLabel("Remarks").fill("half typed");
  // The other tab shows what this one recorded, without having been asked.
  await sum(other, "1 waiting");

  await signal(context, true, over);
  await sum(page, "all sent");

  later = true;
  await page.evaluate(async () => (await navigator.serviceWorker.getRegistration("./crew.html"))!.update());
  await page.getByText("A newer version of this page is here.").waitFor();
  await look(page, "newer version");
  await signal(context, false, over);
  await page.getByRole("button", { name: /^Water is off/ }).first().click();
  await sum(page, "1 waiting");
  await page.getByRole("button", { name: "Use it now" }).click();
  await page.waitForFunction(() => document.title.startsWith("Later"));
  await page.getByLabel("Remarks").waitFor();
  expect(await page.getByLabel("Remarks").inputValue()).toBe("half typed");
  await sum(page, "1 waiting");
  expect(await other.title()).not.toMatch(/^Later/);
  await other.getByRole("button", { name: /^We leave/ }).click();
  await sum(other, "2 waiting");
  await sum(page, "2 waiting");
  await other.reload();
  expect(await other.title()).toMatch(/^Later/);
  await sum(other, "2 waiting");
  await signal(context, true, over);
  await sum(page, "all sent");
  await sum(other, "all sent");
  const kept = await page.evaluate(async () => (await caches.keys()).filter((name) => name.startsWith("valveround")));
  expect(kept).toEqual(["valveround crew later00000000000"]);
  await context.close();
  await over.stop();
});

interface OutboxFile { valveround_outbox: number; entries: { id: string; request: { kind: string } }[]; pictures: { sha256: string; base64: string }[] }

it("a full phone says so, sends from memory, and gives its outbox as a file", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "phone-full"));
  const context = await installable(browser);
  const page = await context.newPage();
  const cdp = await context.newCDPSession(page);
  // From the beginning: a browser that has just found room believes so for a while.
  await cdp.send("Storage.overrideQuotaForOrigin", { origin: base, quotaSize: 1 });
  await page.goto(dayOf(office.today));
  await page.locator("ol.sheet > li").nth(1).getByRole("button").first().click();
  await signal(context, false);
  await page.getByRole("button", { name: "We are here" }).click();
  await sum(page, "1 waiting");
  await page.getByRole("alert").getByText(/storage is full: 1 entry/).waitFor();
  await page.getByRole("button", { name: /^Water is off/ }).first().click();
  await sum(page, "2 waiting");
  await page.getByRole("alert").getByText(/storage is full: 2 entries/).waitFor();
  await look(page, "storage full");
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save what is not sent as a file" }).first().click()]);
  const file = JSON.parse(readFileSync(await download.path(), "utf8")) as OutboxFile;
  expect(download.suggestedFilename()).toMatch(/^valveround-outbox-2026-05-12-0\d{3}\.json$/);
  expect(file.valveround_outbox).toBe(1);
  expect(file.entries.map((e) => e.request.kind)).toEqual(["arrive", "shut-off"]);
  await cdp.send("Storage.overrideQuotaForOrigin", { origin: base });
  await page.getByRole("button", { name: "See the list" }).click();
  await page.getByRole("button", { name: "Send now" }).click(); // tries to store first
  await page.getByText(/storage is full/).waitFor({ state: "detached" });
  await signal(context, true);
  await sum(page, "all sent");
  await page.reload();
  await page.getByRole("button", { name: "See the list" }).click();
  await page.getByText("2 sent, 0 waiting, 0 refused").waitFor(); // it had been stored meanwhile
  const site = (await get<Day>(`/api/days/${office.today}`)).routes!.find((r) => r.crew.id === crew)!.visits![1]!.site.id;
  const arrivals = ((await get<History>(`/api/history/site/${site}?most=50`)).entries ?? []).filter((e) => e.name === "arrived" && e.happened.startsWith(office.today));
  expect(arrivals).toHaveLength(1);
  await context.close();
});

it("a server that asks who this is: all is kept, and sent once it knows", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "phone-out"));
  const context = await installable(browser, { serviceWorkers: "block" }); // so that answers can be changed here
  const page = await openPage(context, dayOf(office.today));
  await page.locator("ol.sheet > li").nth(2).getByRole("button").first().click();
  await context.route("**/api/**", (route) => route.fulfill({ status: 401, contentType: "application/problem+json", body: JSON.stringify({ status: 401, detail: "Sign in first." }) }));
  await page.getByRole("button", { name: "We are here" }).click();
  await sum(page, "1 waiting");
  await page.getByText("Everything recorded stays on this phone.").waitFor();
  await look(page, "sign in to send");
  await context.unroute("**/api/**");
  await page.getByRole("button", { name: "See the list" }).click();
  await page.getByRole("button", { name: "Send now" }).click();
  await sum(page, "all sent");
  await page.getByText("Everything recorded stays on this phone.").waitFor({ state: "detached" });
  await context.close();
});
