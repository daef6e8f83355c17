// The office's whole Monday on the demo, 05:50 to 17:00: once by mouse, once by keys alone. The clock is set on by
// starting the server again with its log. What is looked up from the server only says whom and what the steps are about.

import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import type { Browser, Locator, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Backlog, Call, CallList, CrewDay, Day, Entry, Expiries, Facts, FilingList, FilingRow, JobForm, LeftOff, Office, Stop, Unplaced, Visit, Work } from "../src/types";
import { desk, openBrowser, openPage, picture, shown } from "./browser";
import { countClicks, keyboard, mouse, type Hand } from "./hand";
import { binary, startServer, type Running } from "./server";

const monday = "2026-05-11", tuesday = "2026-05-12";

describe.each([["mouse", mouse], ["keyboard", keyboard]] as const)("a Monday by %s", (how, handOf) => {
  let server: Running, browser: Browser, page: Page, hand: Hand;
  let clicks: () => number;
  const files = mkdtempSync(join(tmpdir(), "monday-"));

  beforeAll(async () => {
    [server, browser] = await Promise.all([startServer("--at", `${monday}T05:50`, "--sites", "150"), openBrowser()]);
    const context = await desk(browser);
    clicks = await countClicks(context);
    await sentOnFriday();
    page = await openPage(context, server.url);
    hand = handOf(page);
  });
  afterAll(async () => {
    await browser?.close();
    await server?.stop();
    rmSync(files, { recursive: true, force: true });
  });

  // ---- what the server knows ------------------------------------------------

  const read = async <T>(path: string): Promise<T> => (await (await fetch(server.url + path)).json()) as T;
  let commands = 0;
  const ask = async (path: string, body: object): Promise<void> => {
    const answer = await fetch(server.url + path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ command_id: (++commands).toString(16).padStart(32, "a"), ...body }) });
    expect(answer.status, `${path}: ${await answer.clone().text()}`).toBeLessThan(300);
  };
  const bytes = async (path: string) => Buffer.from(await (await fetch(server.url + path)).arrayBuffer());
  const dayOf = (date: string) => read<Day>(`/api/days/${date}`);
  const calls = async () => (await read<CallList>("/api/calls?weeks=2")).customers!;

  async function sentOnFriday(): Promise<void> {
    await fetch(`${server.url}/api/days/${monday}/plan`, { method: "POST", headers: { "Content-Type": "application/json" }, body: "{}" });
    while ((await dayOf(monday)).status !== "proposed") await new Promise((wait) => setTimeout(wait, 300));
    await ask(`/api/days/${monday}/send-out`, { digest: (await dayOf(monday)).digest });
  }

  // ---- what is on the screen --------------------------------------------------

  const button = (name: string | RegExp, within: Page | Locator = page) => within.getByRole("button", { name, ...(typeof name === "string" && { exact: true }) });
  const link = (name: string | RegExp, within: Page | Locator = page) => within.getByRole("link", { name, ...(typeof name === "string" && { exact: true }) });
  const field = (name: string, within: Page | Locator = page) => within.getByLabel(name, { exact: true });
  const list = (name: string, within: Page | Locator = page) => within.getByRole("combobox", { name, exact: true });
  const says = (text: string | RegExp) => page.getByText(text).filter({ visible: true }).first().waitFor({ timeout: 30_000 });
  const goTo = async (name: string) => {
    await hand.press(link(name, page.getByRole("navigation", { name: "Pages" })));
    await shown(page);
  };
  /** The clock goes on, and the office is opened again. */
  const later = async (moment: string) => {
    await page.goto("about:blank");
    await server.at(`${monday}T${moment}`);
    await page.goto(server.url);
    await shown(page);
  };
  /** Plans the day that is shown; who pressed the button goes on from the headline that says what came of it. */
  const plan = async (date: string) => {
    await Promise.all([page.waitForResponse((r) => r.url().endsWith(`/api/days/${date}/plan`)), hand.press(button(/^Plan (tomorrow|this day|again)$/))]);
    await expect.poll(async () => (await dayOf(date)).status, { timeout: 60_000 }).toBe("proposed");
    await button(/^Send out \d+ routes?$/).waitFor();
    await expect.poll(() => page.evaluate(() => document.activeElement?.tagName), { timeout: 20_000 }).toBe("H1");
  };
  const step = (name: string, run: () => Promise<void>) => it(name, async ({ onTestFailed }) => {
    onTestFailed(async () => {
      writeFileSync(`../../../test-results/monday-${how}.log`, server.said());
      await picture(browser, `monday-${how}`);
    });
    await run();
  });

  // ---- the day ----------------------------------------------------------------

  step("05:50 a tester is sick: the crew is off, the day is taken back, planned again and sent out", async () => {
    const routes = (await dayOf(monday)).routes!;
    const sick = routes.reduce((a, b) => (b.visits!.length > a.visits!.length ? b : a)).crew;
    await goTo("Records");
    await hand.press(link("Crews"));
    await hand.press(link(sick.name));
    await hand.date(field("Day off"), monday);
    await hand.type(field("Why"), "sick");
    await hand.press(button("Record: crew off that day"));
    await says(/^Recorded: off on Mon 11 May/);

    await goTo("Tomorrow");
    await hand.press(link("Day before"));
    await says("Amend: something changed after the day was sent out.");
    await hand.type(field("Why it is taken back"), `${sick.name} is sick`);
    await hand.press(button("Take the day back"));
    await plan(monday);
    await hand.press(button(/^Send out \d+ routes?$/));
    await says(/^Sent out 05:5\d/);
    await says("Does not work this day: sick.");
    const day = await dayOf(monday);
    expect(day.routes!.filter((r) => r.crew.id === sick.id && r.visits!.length > 0)).toEqual([]);
    expect(day.routes!.filter((r) => r.visits!.length > 0).length).toBeGreaterThan(3);
  });

  step("06:30 a due list comes in, with a row that cannot be read", async () => {
    await later("06:30");
    const said = /To follow from list to return visit: (\S+) of (\S+), assembly (\S+), due (\d{4})-(\d\d)-(\d\d)/.exec(server.said())!;
    const [, number, purveyor, assembly, y, m, d] = said;
    const rows = ["Assembly No.,Service Address,Type,Due Date", `${number},,RPZ,${m}/${d}/${y}`, "ZZ-999999,1 Unknown Road,DCVA,02/30/2026"];
    await goTo("Lists in");
    await hand.attach(field("File"), { name: "due.csv", mimeType: "text/csv", buffer: Buffer.from(rows.join("\r\n")) });
    await hand.choose(list("Purveyor"), (await read<Office>("/api/office")).purveyors!.find((p) => p.id === purveyor)!.name);
    await hand.press(button("Read the list"));
    await says("Rejected rows (1)");
    const order = list("Dates like 3/4/2026 are");
    if ((await order.inputValue()) === "") {
      await hand.choose(order, "month first");
      await hand.press(button("Read again this way"));
      await page.waitForFunction(() => document.querySelector("button.main:not(:disabled)"));
    }
    await hand.press(button(/^Take it in: 1 new/));
    await says("due.csv: taken in");
    expect((await read<{ job: { stage: string } }>(`/api/assemblies/${assembly}/history`)).job.stage).toBe("due");
  });

  step("07:00 calls: every way in which one can end, and a time that is kept", async () => {
    await later("07:00");
    await goTo("Call list");
    const needed = (await calls()).filter((c) => c.needed);
    const rule = (c: Call, name: string) => (c.asks ?? []).some((a) => a.rule === name);
    const repair = needed.find((c) => rule(c, "repair-yes") && c.sites!.length === 1)!;
    const agreed = needed.find((c) => c !== repair && c.sites!.length === 1 && c.sites![0]!.feeds!.some((f) => f.open?.some((o) => o.date === tuesday)))!;
    const others = needed.filter((c) => c !== repair && c !== agreed);
    const call = (c: Call, outcome: string) => button(`${outcome} ${c.name}`);
    const recorded = (c: Call, what: string) => page.getByRole("status").filter({ hasText: `${c.name}: ${what}` }).waitFor();

    await hand.press(call(agreed, "Agreed a day and time…"));
    await hand.choose(list("Open days"), /Tue 12 May/);
    await hand.type(field("What was said"), "back door, ask for the porter");
    await hand.press(button("Record: agreed"));
    await recorded(agreed, "agreed, recorded");
    await hand.press(call(repair, "Yes to the repair…"));
    await hand.choose(list("The owner says yes"), "up to a sum");
    await hand.type(field("Up to, US dollars"), "650");
    await hand.press(button(/^Record: yes to \d+ repairs?$/));
    await recorded(repair, "yes to");
    await hand.press(call(others[0]!, "Left word"));
    await recorded(others[0]!, "left word");
    await hand.press(call(others[1]!, "Wrong number"));
    await recorded(others[1]!, "wrong number");
    await hand.press(call(others[2]!, "Posted notice…"));
    await hand.date(field("For which day (empty: any later day)"), "2026-05-20");
    await hand.press(button("Record: notice posted"));
    await recorded(others[2]!, "notice posted");
    await hand.press(call(others[3]!, "Refused…"));
    await hand.press(button("Record: refused"));
    await recorded(others[3]!, "refused");
    await hand.press(call(others[4]!, "Uses another firm…"));
    await hand.press(button("Record: uses another firm"));
    await recorded(others[4]!, "uses another firm");

    const after = await calls();
    const promise = after.find((c) => c.id === agreed.id)!.sites![0]!.agreed!;
    expect(promise[0]!.from.slice(0, 10)).toBe(tuesday);
    expect(rule(after.find((c) => c.id === repair.id) ?? repair, "repair-yes") && after.some((c) => c.id === repair.id)).toBe(false);
  });

  step("08:00 positions: a file of address points, and one pasted", async () => {
    await later("08:00");
    const before = await read<Unplaced>("/api/positions");
    const [missing, unsure] = [before.sites!.find((s) => !s.position)!, before.sites!.find((s) => s.position && s.address)!];
    await goTo("Records");
    await hand.press(link("Positions"));
    const rows = ["Address,Latitude,Longitude", `"${unsure.address}",41.2345,-37.9123`, '"1 Nowhere Road",41.3,-37.8'];
    await hand.attach(field("File"), { name: "points.csv", mimeType: "text/csv", buffer: Buffer.from(rows.join("\r\n")) });
    await hand.press(button("Read the file"));
    const box = page.getByRole("checkbox", { name: `Take the position of ${unsure.name}` }).first();
    await box.waitFor();
    if (!(await box.isChecked())) await hand.tick(box);
    await hand.press(button(/^Take \d+ positions?$/));
    await says(/^\d+ positions? taken/);
    const facts = async (id: string) => (await read<Entry>(`/api/registry/sites/${id}`)).facts;
    expect(await facts(unsure.id)).toMatchObject({ position_source: "address-point", position: { lat: 41.2345, lon: -37.9123 } });

    await hand.press(page.locator(`a[href="#/records/sites/${missing.id}"]`));
    await hand.type(field("Position"), "41.21, -37.95");
    await hand.press(button("Save the changes"));
    await says("Saved. What stood before stays in the log.");
    expect(await facts(missing.id)).toMatchObject({ position: { lat: 41.21, lon: -37.95 } });
  });

  step("09:00 tomorrow is planned; a visit is held, one moved, one left out, and that taken back", async () => {
    await later("09:00");
    await goTo("Tomorrow");
    await plan(tuesday);
    const change = async (n: number, route: number) => {
      const stop = page.locator(".routes section").nth(route).locator("ol.stops > li").nth(n);
      await hand.press(button(/^Change visit/, stop));
      return stop;
    };
    const held = await change(0, 0);
    await hand.press(button("Hold this visit here", held));
    await says("held here");
    const out = await change(0, 1);
    await hand.type(field("Reason for leaving it out", out), "the owner is away");
    await hand.press(button("Leave it out", out));
    await says(/the owner is away/);
    await hand.press(button("Let the planner decide again"));
    await page.getByText(/the owner is away/).waitFor({ state: "detached" });
    await moveSomewhere();
  });

  /** Moves visits until one may go where it is wanted: what the check refuses is said and changes nothing. */
  async function moveSomewhere(): Promise<void> {
    const wishes = (await dayOf(tuesday)).wishes?.length ?? 0;
    const routes = (await dayOf(tuesday)).routes!;
    const small = (v: Visit) => v.jobs!.length === 1 && !v.hold && !v.jobs![0]!.type.startsWith("DCDA");
    for (const from of routes) {
      for (const visit of from.visits!.filter(small)) {
        const to = routes.find((r) => r !== from && r.visits!.length > 0)!.crew;
        const stop = page.locator(".routes section").nth(routes.indexOf(from)).locator("ol.stops > li").nth(visit.order - 1);
        await hand.press(button(/^Change visit/, stop));
        await hand.choose(list("To crew", stop), new RegExp(`^${to.letter} `));
        await hand.press(button(`Move to ${to.letter}`, stop));
        const done = await Promise.race([
          expect.poll(async () => ((await dayOf(tuesday)).wishes?.length ?? 0) > wishes, { timeout: 20_000 }).toBe(true).then(() => true),
          page.getByText("That was refused, and nothing was changed.").waitFor({ timeout: 20_000 }).then(() => false, () => true),
        ]);
        if (done) return;
      }
    }
    throw new Error("no visit could be moved to another crew");
  }

  step("09:30 a job by phone, put where it fits best tomorrow", async () => {
    const unit = await reliefThatMayBeReached();
    await hand.find(String(unit.serial), `serial ${unit.serial}`);
    await page.getByRole("heading", { name: "A job by phone" }).waitFor();
    await hand.choose(list("What is asked for"), "relief discharging");
    await hand.date(field("By when"), tuesday);
    await hand.type(field("Who called, and why"), "the caretaker: water at the relief port");
    await hand.press(button("Open the job and see where it fits"));
    const put = button(/^Put it on [A-Z]'s route on (?!Today)/);
    await put.first().waitFor({ timeout: 60_000 });
    const where = /on ([A-Z])'s/.exec((await put.first().getAttribute("aria-label"))!)![1];
    await hand.press(put);
    await says(/^It is held for/);
    await hand.press(link("See that day"));
    await says("held here");
    const wish = (await dayOf(tuesday)).wishes!.filter((x) => x.site === unit.site).at(-1)!;
    expect((await read<Office>("/api/office")).crews!.find((c) => c.id === wish.crew)!.letter).toBe(where);
  });

  /** An RP whose water may be off all day long without notice, at a site that is on no route of tomorrow. */
  async function reliefThatMayBeReached(): Promise<Facts> {
    const all = async (kind: string) => new Map((await read<Entry[]>(`/api/registry/${kind}?limit=5000`)).map((e) => [e.id, e.facts]));
    const [sites, feeds, units] = [await all("sites"), await all("feeds"), await all("assemblies")];
    const day = await dayOf(tuesday);
    const planned = new Set([...day.routes!.flatMap((r) => r.visits!), ...day.left_out!].map((v) => v.site.id));
    return [...units.values()].find((u) => {
      const site = sites.get(String(u.site))!;
      return u.type === "RP" && u.serial && site.position && !site.notice_days && !planned.has(String(u.site)) && /^Mo-(Fr|Sa) 0[67]:00-1[46]:00/.test(String(feeds.get(String(u.feed))?.shutdown_window));
    })!;
  }

  // What the crews did in the morning, as their phones send it.
  let failed: { crew: string; stop: Stop; work: Work };
  let paper: { crew: string; stop: Stop; work: Work };

  step("11:00 a failure comes from the field, and stands in the backlog", async () => {
    await later("11:00");
    const found: { crew: string; stop: Stop; work: Work }[] = [];
    for (const { crew } of (await dayOf(monday)).routes!) {
      const day = await read<CrewDay>(`/api/crews/${crew.id}/days/${monday}`);
      for (const stop of day.stops ?? []) for (const work of stop.work ?? []) found.push({ crew: crew.id, stop, work });
    }
    const alone = found.filter((f) => f.stop.work!.length === 1 && f.stop.feeds!.length === 1 && !f.stop.feeds![0]!.fire);
    failed = alone.find((f) => f.work.type === "RP" && f.work.work === "test" && f.work.purveyor.startsWith("Quellham") && !f.work.yes_to_repair)!; // its owner is asked first
    paper = alone.find((f) => f.work.type === "DC" && f.work.work === "test")!;
    await goTo("Backlog");
    await failInTheField();
    await page.locator(`[id="record ${failed.work.assembly} ${failed.work.job}"]`).waitFor();
    const row = (await read<Backlog>("/api/backlog")).rows!.find((r) => r.assembly === failed.work.assembly)!;
    expect(row).toMatchObject({ failed_on: monday, waits_for: "owner" });
  });

  async function failInTheField(): Promise<void> {
    const { crew, stop, work } = failed;
    const day = await read<CrewDay>(`/api/crews/${crew}/days/${monday}`);
    const feed = stop.feeds![0]!;
    const say = (body: object) => ask("/api/field", { crew, day: monday, happened: new Date(Date.parse(day.now) + commands).toISOString(), ...body });
    await say({ kind: "arrive", site: stop.site.id });
    await say({ kind: "shut-off", site: stop.site.id, feed: feed.id });
    await say({
      kind: "finish-job", assembly: work.assembly, job: work.job, outcome: "failed",
      initial: {
        gauge: day.gauges![0]!.id, tester: day.people![0]!.id, procedure: day.procedures![0], at: day.now, says: "fail", profile: work.profile,
        readings: [["relief", "2.4"], ["check-1", "3.1"], ["check-2", "1.4"]].map(([component, number]) => ({ part: "main", component, phase: "initial", number, unit: "psid" })),
      },
    });
    await say({ kind: "restore", site: stop.site.id, feed: feed.id });
    await say({ kind: "leave-feed", site: stop.site.id, feed: feed.id, condition: { service: "in-service", valves: feed.valves!.map((name) => ({ name, state: "open" })) } });
    await say({ kind: "leave", site: stop.site.id });
  }

  step("11:30 the owner says yes; the part is ordered, promised, comes, is set aside and goes on a truck; then it is the wrong one", async () => {
    const part = async () => (await read<Backlog>("/api/backlog")).rows!.find((r) => r.assembly === failed.work.assembly)!.part_states?.map((p) => p.step).join();
    const becomes = (want: string) => expect.poll(part, { timeout: 30_000 }).toBe(want);
    await hand.press(page.locator(`[id="record ${failed.work.assembly} ${failed.work.job}"]`));
    await hand.choose(list("The owner says yes"), "up to a sum");
    await hand.type(field("Up to, US dollars"), "600");
    await hand.press(button("Record: repair authorised"));
    await says("yes to repair, up to 600 USD");
    await hand.type(field("Repair kit code"), "K-RUBBER-2");
    await hand.press(button("Record: needed"));
    await becomes("needed");
    const at = (words: string) => button(`${words}, K-RUBBER-2, part 1`);
    await hand.type(field("Supplier"), "Moor Valve Supply");
    await hand.type(field("Order number"), "88");
    await hand.press(at("Record: ordered"));
    await becomes("ordered");
    await hand.date(field("Promised for"), "2026-05-13");
    await hand.press(at("Record: promised"));
    await becomes("promised");
    await says("promised for 13 May 2026");
    await hand.press(at("Record: came"));
    await becomes("received");
    await hand.press(at("Record: set aside for this job"));
    await becomes("reserved");
    await hand.choose(list("Where it lies"), /^on the truck of Crew B/);
    await hand.press(at("Record: put there"));
    await says(/on the truck of Crew B/);
    await hand.press(at("It is the wrong part"));
    await hand.type(field("What is wrong with it"), "for the 1 in, not the 2 in");
    await hand.press(at("Record: wrong part"));
    await becomes("needed");
  });

  const scan = Buffer.from("%PDF-1.7\nsigned by the tester\n");

  step("13:00 a result that came on paper is keyed in from the day, with the signed copy", async () => {
    await later("13:00");
    const { work, stop } = paper;
    const form = await read<JobForm>(`/api/assemblies/${work.assembly}/jobs/${work.job}/form?on=${monday}`);
    const tester = form.people!.find((p) => !p.lacks)!, gauge = form.gauges!.find((g) => g.valid && !g.words)!;
    await goTo("Tomorrow");
    await hand.press(link("Day before"));
    await hand.press(page.locator(`a[href="#/paper/${work.assembly}/${work.job}"]`));
    await says(new RegExp(`^Result from paper: .*${stop.site.name}`));
    await hand.attach(field("Scan or PDF of it"), { name: "report.pdf", mimeType: "application/pdf", buffer: scan });
    await says(/^Kept, /);
    await hand.time(field("Time of the test"), "10:40");
    await hand.choose(list("Keyed in by"), /^Wanda Norrigan/);
    await hand.choose(list("Tester"), new RegExp(`^${tester.name}`));
    await hand.choose(list("Gauge"), new RegExp(`^${gauge.serial}`));
    await hand.type(page.getByRole("textbox", { name: "check 1" }), "2.8");
    await hand.type(page.getByRole("textbox", { name: "check 2" }), "2.1");
    await says("By these readings it passes.");
    await hand.tick(page.getByRole("radio", { name: "passed", exact: true }));
    await hand.press(button("Key in: passed"));
    await says("Keyed in: passed.");
    await says(`signed Mon 11 May 2026 by ${tester.name}`);
    expect((await read<JobForm>(`/api/assemblies/${work.assembly}/jobs/${work.job}/form`)).tests!.at(-1)!.says).toBe("pass");
  });

  step("13:30 only the tester corrects a reading, and the first one stays", async () => {
    const { work } = paper;
    await hand.press(link("The assembly and its history"));
    const mend = button(/^Mend the entry of .*check 1.*2\.8/);
    await hand.press(mend);
    await hand.choose(list("What is to be mended"), "The readings were read or written wrongly");
    await hand.press(link("Correct the readings"));
    const { tests, people } = await read<JobForm>(`/api/assemblies/${work.assembly}/jobs/${work.job}/form`);
    const name = (id: string) => people!.find((p) => p.id === id)!.name;
    const tester = tests!.at(-1)!.tester;
    await hand.type(page.getByRole("textbox", { name: "check 1" }), "2.3");
    await hand.type(field("Why they are corrected"), "a 3 read as an 8");
    await hand.choose(list("I am"), name(people!.find((p) => p.id !== tester)!.id));
    await hand.press(button("Record the corrected readings"));
    await says("ask whoever made this test");
    await hand.choose(list("I am"), name(tester));
    await hand.press(button("Record the corrected readings"));
    await says("Recorded. The first entry stays");
    await hand.press(link("The assembly and its history"));
    await page.locator("ol.history > li", { hasText: "2.8 psid" }).getByText("a mistaken entry: readings corrected by the tester: a 3 read as an 8").waitFor();
  });

  step("14:00 a report is filed, comes back, is filed again and accepted; a failure is told by telephone", async () => {
    await later("14:00");
    const rows = async () => (await read<FilingList>("/api/filing")).rows!;
    const same = (a: FilingRow) => (b: FilingRow) => a.about === b.about && a.job.assembly === b.job.assembly && a.job.job === b.job.job;
    const about = { pass: "Report of a pass", fail: "Report of a failure", "phone-in": "Call about a failure" };
    const act = (row: FilingRow) => button(`Record something about: ${about[row.about]}, ${[row.job.type, row.job.size, row.job.place, row.job.serial && `serial ${row.job.serial}`].filter(Boolean).join(", ")} at ${row.site.name}`);
    const becomes = (row: FilingRow, state: FilingRow["state"]) => expect.poll(async () => (await rows()).find(same(row))?.state, { timeout: 30_000 }).toBe(state);
    await goTo("Filing");
    const report = (await rows()).find((r) => r.about === "pass" && r.job.assembly === paper.work.assembly)!;
    await hand.press(act(report));
    await hand.type(field("How it was filed"), "e-mail");
    await hand.type(field("Confirmation number"), "C-4711");
    await hand.press(button("Record: filed"));
    await becomes(report, "filed");
    const show = page.getByRole("combobox", { name: "Show", exact: true });
    await hand.choose(show, "what is filed");
    await hand.press(act(report));
    await hand.type(field("Why it came back"), "no gauge serial");
    await hand.press(button("Record: came back"));
    await becomes(report, "returned");
    await hand.choose(show, "what is owed");
    await says(/came back .*: no gauge serial/);
    await hand.press(act(report));
    await hand.type(field("How it was filed"), "e-mail");
    await hand.type(field("Confirmation number"), "C-4712");
    await hand.press(button("Record: filed again"));
    await becomes(report, "filed");
    const call = (await rows()).find((r) => r.about === "phone-in" && r.job.assembly === failed.work.assembly)!;
    await hand.press(act(call));
    await hand.type(field("Who was told, by role"), "cross-connection desk");
    await hand.press(button("Record: told by telephone"));
    await becomes(call, "filed");
    await hand.choose(show, "what is filed");
    await hand.press(act(report));
    await hand.press(button("Record: accepted"));
    await becomes(report, "accepted");
  });

  step("14:30 the report on screen and as PDF, without a telephone number", async () => {
    const { work, stop } = paper;
    await hand.choose(page.getByRole("combobox", { name: "Show", exact: true }), "what was accepted");
    await hand.press(page.locator(`a[href="#/report/${work.assembly}/${work.job}"]`));
    await says("Backflow assembly test report");
    await says("2.3 psid");
    const text = await pdf(link("As PDF, letter"));
    for (const words of ["Backflow assembly test report", stop.site.name, "2.3 psid", ...(work.serial ? [work.serial] : [])]) expect(text).toContain(words);
    expect(text).not.toMatch(/555-01\d\d/);
  });

  /** Opens a PDF in its own tab, and reads it with poppler: its words, and its first page as a picture that is not blank. */
  async function pdf(to: Locator): Promise<string> {
    const address = (await to.getAttribute("href"))!;
    const [tab] = await Promise.all([page.context().waitForEvent("page"), hand.press(to)]);
    await tab.close();
    const file = join(files, "one.pdf");
    writeFileSync(file, await bytes(address));
    execFileSync("pdftoppm", ["-r", "50", "-png", "-singlefile", file, join(files, "one")]);
    expect(readFileSync(join(files, "one.png")).length).toBeGreaterThan(5000);
    return execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" }).replace(/ +/g, " ");
  }

  step("15:00 tomorrow is planned again with what was agreed, sent out, and its route sheets are printed", async () => {
    await later("15:00");
    await goTo("Tomorrow");
    await plan(tuesday);
    await hand.press(button(/^Send out \d+ routes?$/));
    await says(/^Sent out 15:0\d/);
    const day = await dayOf(tuesday);
    const agreed = (await calls()).flatMap((c) => c.sites!.flatMap((s) => (s.agreed ?? []).map((a) => ({ ...a, site: s.site.id }))));
    const kept = day.routes!.flatMap((r) => r.visits!).filter((v) => agreed.some((a) => a.site === v.site.id && a.from.startsWith(tuesday)));
    for (const visit of kept) for (const off of visit.water_off!) {
      expect(agreed.some((a) => a.site === visit.site.id && Date.parse(a.from) <= Date.parse(off.from) && Date.parse(off.to) <= Date.parse(a.to)), `${visit.site.name} ${off.from}`).toBe(true);
    }
    const route = day.routes!.find((r) => r.visits!.length > 1)!;
    const text = await pdf(link(`Route sheet of ${route.crew.letter}, PDF`));
    for (const visit of route.visits!) expect(text).toContain(visit.site.name);
  });

  step("16:00 what is left off tonight, whom to call about it, and that one is restored", async () => {
    await later("16:00");
    await goTo("Left off tonight");
    const fire = (await read<LeftOff>("/api/left-off")).rows!.find((r) => r.fire && r.call?.length)!;
    const item = page.locator("main ul.plain > li", { has: page.getByRole("heading", { name: `${fire.site.name}: ${fire.name}` }) });
    await item.getByText(/^alarm company: /).waitFor();
    await hand.press(button(`${fire.name} at ${fire.site.name} is restored`));
    await hand.type(field("Who says so, and what was checked"), "Ms Ord: both valves open, drain test done");
    await hand.press(button("Record: restored"));
    await item.waitFor({ state: "detached" });
    expect((await read<LeftOff>("/api/left-off")).rows!.some((r) => r.feed === fire.feed)).toBe(false);
  });

  step("16:10 what ends within the year, and the visits it would stop", async () => {
    await goTo("Expiries");
    await hand.choose(list("Look ahead"), "365 days");
    await page.waitForURL(/\/expiries\/365$/);
    const { rows } = await read<Expiries>("/api/expiries?days=365");
    await expect.poll(() => page.locator("main table > tbody > tr").count(), { timeout: 30_000 }).toBe(rows!.length);
  });

  step("16:20 the work done is saved for invoices", async () => {
    await goTo("Filing");
    await hand.date(field("From"), "2026-05-01");
    const [saved] = await Promise.all([page.waitForEvent("download"), hand.press(link("Save the file (CSV)"))]);
    const rows = readFileSync((await saved.path())!, "utf8").split("\r\n");
    expect(rows[0]).toMatch(/purchase order/i);
    expect(rows.filter((row) => row.includes(paper.stop.site.name)).length).toBeGreaterThan(0);
  });

  step("16:30 the search box opens the unit of this morning with its history", async () => {
    const { work } = failed;
    await hand.find(work.serial!, `serial ${work.serial}`);
    await page.locator("ol.history > li", { hasText: /check 1.*3\.1/i }).first().waitFor();
    await page.getByRole("heading", { name: "History", exact: true }).waitFor();
  });

  step("16:45 a backup while everything runs, checked by plain tools, and restored into a new folder", async () => {
    const zip = join(files, "backup.zip");
    const run = (...args: string[]) => execFileSync(binary, args, { encoding: "utf8" });
    const digest = (said: string) => /Digest (\S+)/.exec(said)![1];
    const made = run("log", "backup", "--server", server.url, zip);
    expect(made).toMatch(/read back and verified/);
    execFileSync("sh", [resolve("../../../events/audit/verify-backup.sh"), zip]);
    expect(digest(run("log", "restore", zip, join(files, "copy")))).toBe(digest(made));
  });

  step("17:00 the day's clicks", async () => {
    console.log(`A Monday by ${how}: ${clicks()} presses of a pointer.`);
    if (how === "keyboard") expect(clicks()).toBe(0);
    else expect(clicks()).toBeGreaterThan(100);
  });
});
