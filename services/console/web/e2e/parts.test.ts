// Repair parts from needed to the truck, a wrong one, the owner's yes; and who
// is called about a fire line: by keyboard alone.

import type { Browser, BrowserContext } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Backlog, LeftOff } from "../src/types";
import { desk, expectAccessible, openBrowser, openPage, phone, picture, shown } from "./browser";
import { pick, press, typeInto } from "./keys";
import { startServer, type Running } from "./server";

let server: Running;
let browser: Browser;
let context: BrowserContext;

beforeAll(async () => {
  [server, browser] = await Promise.all([startServer("--at", "2026-05-12T15:00", "--sites", "150"), openBrowser()]);
  context = await desk(browser);
});
afterAll(async () => {
  await browser?.close();
  await server?.stop();
});

const read = async <T>(path: string): Promise<T> => (await (await fetch(server.url + path)).json()) as T;

it("brings a part to the truck, step by step, and takes a wrong one back", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "parts"));
  const before = (await read<Backlog>("/api/backlog")).rows![0]!;
  const state = async () => (await read<Backlog>("/api/backlog")).rows!.find((r) => r.assembly === before.assembly && r.job === before.job)!;
  const step = (want: string) => expect.poll(async () => (await state()).part_states?.map((p) => p.step).join(), { timeout: 30_000 }).toBe(want);
  const page = await openPage(context, `${server.url}/#/backlog`);
  await shown(page);
  const button = (name: string | RegExp) => page.getByRole("button", { name });
  await press(page, page.locator(`[id="record ${before.assembly} ${before.job}"]`));
  await expectAccessible(page, "recording in the backlog");

  await pick(page, page.getByLabel("The owner says yes"), "up to a sum");
  await typeInto(page, page.getByLabel("Up to, US dollars"), "600");
  await press(page, button("Record: repair authorised"));
  await page.getByText("yes to repair, up to 600 USD").waitFor();

  await typeInto(page, page.getByLabel("Repair kit code"), "K-TEST-1");
  await press(page, button("Record: needed"));
  await step("needed");
  await typeInto(page, page.getByLabel("Supplier"), "Moor Valve Supply");
  await typeInto(page, page.getByLabel("Order number"), "88");
  await press(page, button("Record: ordered, K-TEST-1, part 1"));
  await step("ordered");
  await page.getByLabel("Promised for").fill("2026-05-14");
  await press(page, button("Record: promised, K-TEST-1, part 1"));
  await step("promised");
  await page.locator("ol.parts").getByText("ordered on 12 May 2026 from Moor Valve Supply, order 88, promised for 14 May 2026").waitFor();
  await press(page, button("Record: came, K-TEST-1, part 1"));
  await step("received");
  await press(page, button("Record: set aside for this job, K-TEST-1, part 1"));
  await step("reserved");
  await pick(page, page.getByLabel("Where it lies"), "on the truck of Crew B");
  await press(page, button("Record: put there, K-TEST-1, part 1"));
  await expect.poll(async () => (await state()).part_states![0]!.words, { timeout: 30_000 }).toContain("Crew B");
  await expectAccessible(page, "a part on a truck");

  await press(page, button("It is the wrong part, K-TEST-1, part 1"));
  await typeInto(page, page.getByLabel("What is wrong with it"), "for the 1 in, not the 2 in");
  await press(page, button("Record: wrong part, K-TEST-1, part 1"));
  await step("needed");
  await page.close();
});

it("says of a row without a retest when it is due, and not that nobody knows", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "others"));
  const page = await openPage(context, `${server.url}/#/backlog`);
  const others = page.getByRole("region", { name: "Stopped jobs, returned reports and reports to send again" });
  await others.waitFor();
  const without = (await read<Backlog>("/api/backlog")).others!.filter((r) => !r.retest_by);
  expect(without.length).toBeGreaterThan(0);
  expect(await others.getByText("not known: ask", { exact: true }).count()).toBe((await read<Backlog>("/api/backlog")).others!.filter((r) => r.days_left === undefined).length);
  await page.close();
});

it.each(["1280", "390"])("names who to call about a fire line, at %s px", async (width) => {
  const wide = width === "1280" ? context : await phone(browser);
  const page = await openPage(wide, `${server.url}/#/left-off`);
  await shown(page);
  const fire = (await read<LeftOff>("/api/left-off")).rows!.find((r) => r.fire && r.call?.length)!;
  const item = page.locator("main ul.plain > li", { has: page.getByRole("heading", { name: `${fire.site.name}: ${fire.name}` }) });
  await item.getByText(/^alarm company: /).waitFor();
  expect(await item.locator('a[href^="tel:"]').first().getAttribute("href")).toMatch(/^tel:[+\d]+$/);
  expect(await item.locator("dd", { hasText: /left$/ }).innerText()).toMatch(/\d\d:\d\d.*, \d.* left$/);
  await expectAccessible(page, `left off tonight at ${width} px`);
  await page.close();
  if (wide !== context) await wide.close();
});
