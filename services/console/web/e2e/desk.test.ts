// What the dispatcher does by hand: holding, leaving out, putting back, taking
// a day back, and restoring a feed that was left off.

import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { LeftOff, Office } from "../src/types";
import { desk, expectAccessible, openBrowser, openPage, picture, shown } from "./browser";
import { startServer, type Running } from "./server";

let server: Running;
let browser: Browser;
let context: BrowserContext;
let page: Page;

beforeAll(async () => {
  [server, browser] = await Promise.all([startServer("--at", "2026-05-12T15:00", "--sites", "200"), openBrowser()]);
  context = await desk(browser);
});
afterAll(async () => {
  await browser?.close();
  await server?.stop();
});

const read = async <T>(path: string): Promise<T> => (await (await fetch(server.url + path)).json()) as T;

it("changes a plan by menu, sends it out and takes it back", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "desk"));
  const { tomorrow } = await read<Office>("/api/office");
  page = await openPage(context, `${server.url}/#/tomorrow/${tomorrow}`);
  await page.getByRole("button", { name: "Plan tomorrow" }).click();
  await page.getByRole("button", { name: /^Send out/ }).waitFor({ timeout: 60_000 });

  const first = page.locator("ol.stops > li").first();
  await first.getByRole("button", { name: /^Change visit/ }).click();
  await expectAccessible(page, "the menu of a visit");
  await first.getByRole("button", { name: "Hold this visit here" }).click();
  await page.getByText("held here").first().waitFor();

  const second = page.locator(".routes section").nth(1).locator("ol.stops > li").first();
  await second.getByRole("button", { name: /^Change visit/ }).click();
  await second.getByLabel("Reason for leaving it out").fill("the owner is away");
  await second.getByRole("button", { name: "Leave it out" }).click();
  const back = page.getByRole("button", { name: "Let the planner decide again" });
  await back.first().waitFor();
  await back.first().click();
  await back.first().waitFor({ state: "detached" });

  // The pictures and the list choose the same visit, and the address says which.
  await page.locator(".picture .visit").nth(2).click();
  await page.getByRole("region", { name: "The chosen visit" }).waitFor();
  expect(page.url()).toMatch(/\/visit\//);

  await page.getByRole("button", { name: /^Send out/ }).click();
  await page.getByText(/^Sent out \d\d:\d\d/).waitFor();
  // One visit of the day that is out is moved, and another taken off: the day stays out.
  const last = page.locator(".routes section").nth(0).locator("ol.stops > li").last();
  const gone = (await last.locator("span").nth(2).textContent())!;
  await last.getByRole("button", { name: /^Change visit/ }).focus();
  await page.keyboard.press("Enter");
  await expectAccessible(page, "the menu of a visit that is out");
  await picture(browser, "desk-amend");
  await last.getByLabel("Why it is taken off").fill("the owner rang: not today");
  await last.getByRole("button", { name: "Take it off the day" }).click();
  await page.waitForFunction((text) => ![...document.querySelectorAll(".routes section:first-child ol.stops > li")].some((li) => li.textContent!.includes(text!)), gone);
  await page.getByText(/^Sent out \d\d:\d\d/).waitFor();

  await page.getByLabel("Why it is taken back").fill("a storm is coming");
  await page.getByRole("button", { name: "Take the day back" }).click();
  await page.getByText(/^Sent out \d\d:\d\d/).waitFor({ state: "detached" });
  await page.close();
});

it("follows what happens elsewhere without being asked", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "left-off"));
  const before = (await read<LeftOff>("/api/left-off")).rows!;
  expect(before.length).toBeGreaterThan(0);
  const one = await openPage(context, `${server.url}/#/left-off`);
  const other = await openPage(context, `${server.url}/#/left-off`);
  for (const p of [one, other]) { await shown(p); await p.getByRole("button", { name: "is restored" }).first().waitFor(); }
  await expectAccessible(one, "left off tonight");
  const count = await other.getByRole("button", { name: "is restored" }).count();
  await one.getByRole("button", { name: "is restored" }).first().click();
  await one.getByLabel("Who says so, and what was checked").fill("Ms Ord: both valves open, drain test done");
  await one.getByRole("button", { name: "Record: restored" }).click();
  await other.waitForFunction((n) => document.querySelectorAll("main ul.plain:not(.fill) > li").length === n - 1, count);
  await one.close();
  await other.close();
});
