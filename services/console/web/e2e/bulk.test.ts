// Many records edited in a spreadsheet: out as a file, in again edited, the
// difference shown, then taken.

import { readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, BrowserContext } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Unfilled } from "../src/types";
import { desk, expectAccessible, openBrowser, openPage, picture, shown } from "./browser";
import { startServer, type Running } from "./server";

let server: Running;
let browser: Browser;
let context: BrowserContext;

beforeAll(async () => {
  [server, browser] = await Promise.all([startServer("--at", "2026-05-12T15:00", "--sites", "120"), openBrowser()]);
  context = await desk(browser);
});
afterAll(async () => {
  await browser?.close();
  await server?.stop();
});

it("edits two sites in a spreadsheet", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "sheet"));
  const page = await openPage(context, `${server.url}/#/records/sites`);
  await page.getByRole("link", { name: "Edit many in a spreadsheet" }).click();
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: /^Save sites/ }).click()]);
  const lines = readFileSync((await download.path())!, "utf8").split(/\r?\n/);
  const ids = lines.slice(1).flatMap((l) => /^([\w-]+),/.exec(l)?.[1] ?? []).slice(0, 2);
  expect(ids).toHaveLength(2);
  const edited = join(tmpdir(), `valveround-${process.pid}-sites.csv`);
  const { zone } = (await (await fetch(`${server.url}/api/office`)).json()) as { zone: string };
  writeFileSync(edited, ["id,name,zone,notice_days", ...ids.map((id, i) => [id, `Edited ${i}`, zone, "3"].join(",")), `x y,Bad,${zone},1`].join("\n"));
  await page.getByLabel(/^The edited file/).setInputFiles(edited);
  await page.getByRole("heading", { name: "2 records would change." }).waitFor();
  await page.getByText(/is not an id/).waitFor();
  await expectAccessible(page, "what differs");
  await page.screenshot({ path: "../../../test-results/sheet-1280.png" });
  await page.setViewportSize({ width: 390, height: 844 });
  await expectAccessible(page, "what differs, narrow");
  await page.screenshot({ path: "../../../test-results/sheet-390.png", fullPage: true });
  await page.setViewportSize({ width: 1280, height: 900 });
  await page.getByRole("button", { name: "Take 2 changes" }).focus();
  await page.keyboard.press("Enter");
  await page.getByText("Taken: 2 records changed.").waitFor();
  const site = (await (await fetch(`${server.url}/api/registry/sites/${ids[0]}`)).json()) as { facts: { name: string; notice_days: number } };
  expect(site.facts).toMatchObject({ name: "Edited 0", notice_days: 3 });
  await page.close();
});

it("fills many feeds of a customer with one tap", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "fill"));
  const read = async () => ((await (await fetch(`${server.url}/api/unfilled`)).json()) as Unfilled).customers ?? [];
  const before = await read();
  const most = [...before].sort((a, b) => (b.feeds ?? []).length - (a.feeds ?? []).length)[0]!;
  const page = await openPage(context, `${server.url}/#/left-off`);
  await shown(page);
  await page.getByRole("button", { name: `Record that feeds of ${most.name} are filled` }).focus();
  await page.keyboard.press("Enter");
  expect(await page.getByRole("checkbox").count()).toBe((most.feeds ?? []).length);
  await expectAccessible(page, "feeds to be filled");
  await page.getByLabel("Who says so").fill("the groundsman");
  await page.keyboard.press("Enter");
  await page.getByText(/^Recorded: \d+ feeds? filled/).waitFor();
  expect((await read()).some((c) => c.name === most.name)).toBe(false);
  await page.close();
});
