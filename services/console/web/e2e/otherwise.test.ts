// The page that compares a day with what it would be, on a day that is out and being driven: by keyboard alone, at the
// width of a desk and of a phone. What is only supposed changes nothing.

import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Day, Entry, Otherwise, Supposed } from "../src/types";
import { desk, expectAccessible, openBrowser, openPage, phone, picture, shown } from "./browser";
import { press, tabTo, typeInto } from "./keys";
import { startServer, type Running } from "./server";

const date = "2026-05-13";
let server: Running;
let browser: Browser;

const read = async <T>(path: string): Promise<T> => (await (await fetch(server.url + path)).json()) as T;
const send = async <T>(path: string, body: unknown): Promise<T> => {
  const answer = await fetch(server.url + path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
  if (!answer.ok) throw new Error(`${path}: ${answer.status} ${await answer.text()}`);
  return (await answer.json()) as T;
};
const day = () => read<Day>(`/api/days/${date}`);
const suppose = (list: Supposed[]) => send<Otherwise>(`/api/days/${date}/suppose`, { suppose: list });
/** Who goes where and when. */
const seats = (d: Day) => (d.routes ?? []).map((r) => [r.crew.id, (r.visits ?? []).map((v) => [v.key, v.arrive])]);

// Planned and sent out the afternoon before; looked at while it is driven.
beforeAll(async () => {
  [server, browser] = await Promise.all([startServer("--at", "2026-05-12T15:00", "--sites", "100", "--crews", "4", "--seconds", "1"), openBrowser()]);
  await send(`/api/days/${date}/plan`, {});
  let planned = await day();
  while (planned.status !== "proposed") {
    await new Promise((wait) => setTimeout(wait, 300));
    planned = await day();
  }
  await send(`/api/days/${date}/send-out`, { command_id: "0000000000000000000000000000c0de", digest: planned.digest });
  await server.at("2026-05-13T07:00");
});
afterAll(async () => {
  await browser?.close();
  await server?.stop();
});

it.each([["at a desk", desk, 1280], ["on a phone", phone, 390]] as const)("asks what if a crew is off, %s", async (_, context, width) => {
  const before = await day();
  const route = before.routes!.find((r) => (r.visits ?? []).length > 1)!;
  const crew = route.crew;
  const page = await openPage(await context(browser), `${server.url}/#/tomorrow/${date}`);
  expect(page.viewportSize()!.width).toBe(width);
  await shown(page);
  await press(page, page.getByRole("link", { name: "Plan the rest of the day, or ask what if" }));
  await page.getByText("Choose what to suppose, or plan the rest of the day.").waitFor();
  await expectAccessible(page, "the empty comparison");
  await tabTo(page, page.getByRole("combobox", { name: "Crew", exact: true }));
  await page.keyboard.type(`${crew.letter} `);
  await press(page, page.getByRole("button", { name: "Show what would be otherwise" }));
  await page.getByText("Supposed:").waitFor({ timeout: 60_000 });
  await expectAccessible(page, "the comparison");

  // The page says what the server says of the same question; the crew has none of its visits any more.
  const answer = await suppose([{ what: "crew-off", crew: crew.id }]);
  const rows = page.getByRole("region", { name: "Moves" }).locator("tbody tr");
  expect(await rows.count()).toBe(answer.moves!.length);
  expect(answer.moves!.length).toBeGreaterThan(0);
  for (const move of answer.moves!) {
    expect(move.to?.crew ?? "nobody").not.toBe(crew.name);
    await rows.filter({ hasText: move.site.name }).first().waitFor();
  }
  await page.getByText("This was only supposed. Record what is so, then plan the rest of the day to send it out.").waitFor();
  expect(await page.getByRole("button", { name: /^Send out the changes/ }).count()).toBe(0);
  expect(seats(await day())).toEqual(seats(before));
  await page.close();
});

it("asks what if an assembly has a job now, by keyboard, and changes nothing", async ({ onTestFailed }) => {
  onTestFailed(() => picture(browser, "otherwise"));
  const before = await day();
  // An assembly that nobody comes to today, and that a crew could still reach.
  const there = new Set(before.routes!.flatMap((r) => (r.visits ?? []).map((v) => v.site.id)));
  const others = (await read<Entry[]>("/api/registry/assemblies?limit=5000")).filter((a) => !there.has(String(a.facts.site)) && a.facts.type === "RP");
  let assembly = "";
  let answer: Otherwise | undefined;
  for (const { id } of others.slice(0, 25)) {
    const tried = await suppose([{ what: "new-job", assembly: id }]);
    if (tried.moves?.some((move) => move.to && !move.from)) {
      [assembly, answer] = [id, tried];
      break;
    }
  }
  expect(answer, "no crew has room for a job at any of the sites tried").toBeDefined();
  const comesIn = answer!.moves!.find((move) => move.to && !move.from)!;
  // It is still to come: nobody is where it is before now.
  expect(Date.parse(comesIn.to!.arrive)).toBeGreaterThan(Date.parse("2026-05-13T07:00:00-05:00"));

  const page = await openPage(await desk(browser), `${server.url}/#/tomorrow/${date}/otherwise`);
  await shown(page);
  await tabTo(page, page.getByRole("combobox", { name: "What if", exact: true }));
  await page.keyboard.type("an assembly has");
  await typeInto(page, page.getByLabel("Assembly, by its number on record"), assembly);
  await page.keyboard.press("Enter");
  await page.getByText("Supposed:").waitFor({ timeout: 60_000 });
  const row = page.getByRole("region", { name: "Moves" }).locator("tbody tr").filter({ hasText: comesIn.site.name });
  await row.first().waitFor();
  // Which crew and when: as the server says to the same question.
  const seat = await row.first().locator("td").nth(2).textContent();
  expect(seat).toContain(comesIn.to!.crew);
  expect(await row.first().locator("td").nth(1).textContent()).toBe("");
  await expectAccessible(page, "a job now");

  // An assembly that is not on record is refused in words, and nothing typed is lost.
  await typeInto(page, page.getByLabel("Assembly, by its number on record"), "no-such-thing");
  await page.keyboard.press("Enter");
  await page.getByText(/there is no assembly "no-such-thing"/i).waitFor();
  expect(await page.getByLabel("Assembly, by its number on record").inputValue()).toBe("no-such-thing");
  expect(seats(await day())).toEqual(seats(before));
  await page.close();
});
