// What it costs by mouse to get from opening the call list to a day that is sent out, on the whole demo, with three
// customers called who may let more in. The clicks are counted in the browser and bounded; the seconds are printed only.
// Plans are searched for by the clock here, as they are in an office.

import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { CallList, Day, Office } from "../src/types";
import { desk, openBrowser, openPage, picture, shown } from "./browser";
import { countClicks } from "./hand";
import { startServer, type Running } from "./server";

let server: Running;
let browser: Browser;

beforeAll(async () => {
  [server, browser] = await Promise.all([startServer("--at", "2026-05-11T08:00", "--iterations", "0"), openBrowser()]);
});
afterAll(async () => {
  await browser?.close();
  await server?.stop();
});

const read = async <T>(path: string): Promise<T> => (await (await fetch(server.url + path)).json()) as T;
const called = 3;

it("gets from the call list to a sent-out day in few clicks", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "clicks"));
  const { tomorrow } = await read<Office>("/api/office");
  const context = await desk(browser);
  const clicks = await countClicks(context);
  const page = await openPage(context, server.url);
  await shown(page);
  const began = Date.now();
  const go = (name: string) => page.getByRole("navigation", { name: "Pages" }).getByRole("link", { name, exact: true }).click();
  const sendOut = page.getByRole("button", { name: /^Send out \d+ routes?$/ });

  await go("Call list");
  await page.getByRole("link", { name: "Plan it" }).click(); // which calls would let more in is known once it is planned
  await page.getByRole("button", { name: "Plan tomorrow" }).click();
  await sendOut.waitFor({ timeout: 120_000 });
  await go("Call list");
  await page.getByRole("heading", { name: /^First: calls that may let more into/ }).waitFor();
  // Who has an open day tomorrow agrees to it: it stands there already, and is recorded with one click more.
  const willing = (await read<CallList>("/api/calls?weeks=2")).customers!
    .filter((c) => c.jobs_let_in_tomorrow && c.sites!.some((s) => s.feeds!.some((f) => f.open?.some((o) => o.date === tomorrow)))).slice(0, called);
  expect(willing).toHaveLength(called);
  for (const { name } of willing) {
    await page.getByRole("button", { name: `Agreed a day and time… ${name}`, exact: true }).first().click();
    await page.getByRole("button", { name: "Record: agreed" }).click();
    await page.getByRole("status").filter({ hasText: `${name}: agreed, recorded` }).waitFor();
  }
  await go("Tomorrow");
  await page.getByRole("button", { name: "Plan again" }).click();
  await page.getByRole("button", { name: "Stop and keep this" }).waitFor();
  await sendOut.waitFor({ timeout: 120_000 });
  await sendOut.click();
  await page.getByText(/^Sent out \d\d:\d\d/).waitFor();

  expect((await read<Day>(`/api/days/${tomorrow}`)).status).toBe("sent-out");
  const after = (await read<CallList>("/api/calls?weeks=2")).customers!;
  for (const { id } of willing) expect(after.find((c) => c.id === id)?.sites!.some((s) => s.agreed?.some((a) => a.from.startsWith(tomorrow))) ?? true).toBe(true);
  console.log(`From the call list to a sent-out day, ${called} customers called: ${clicks()} clicks, ${Math.round((Date.now() - began) / 1000)} s.`);
  // The call list, the plan that it wants, the list again; two a call; the day, planned again, sent out.
  expect(clicks()).toBeLessThanOrEqual(4 + 2 * called + 3);
  await context.close();
});
