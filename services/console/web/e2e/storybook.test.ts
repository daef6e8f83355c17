// Every state of every page, drawn from fixtures: it draws without errors,
// keeps the accessibility rules, and does not scroll sideways on a phone.

import { createServer, type ViteDevServer } from "vite";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Browser } from "playwright-core";
import { expectAccessible, expectTargets, openBrowser, openPage, patient } from "./browser";

let vite: ViteDevServer;
let browser: Browser;
let url: string;

beforeAll(async () => {
  vite = await createServer({ configFile: "vite.config.ts", server: { port: 0, host: "127.0.0.1", watch: null }, logLevel: "error" });
  await vite.listen();
  url = `${vite.resolvedUrls!.local[0]}storybook.html`;
  browser = await openBrowser();
});
afterAll(async () => {
  await browser?.close();
  await vite?.close();
});

it("draws every state", async () => {
  const faults: string[] = [];
  const context = await patient(browser.newContext({ timezoneId: "America/Chicago" }));
  context.setDefaultNavigationTimeout(300_000); // the pages are put together when they are first asked for
  await context.route("**/api/**", (route) => route.fulfill({ status: 500 })); // whatever may be served on this machine, a story asks nobody
  const index = await openPage(context, url);
  await index.getByRole("listitem").first().waitFor();
  const names = await index.locator("main li a").allTextContents();
  expect(names.length).toBeGreaterThan(15);
  await index.close();
  // Both widths and both schemes, in two rounds.
  for (const [width, colorScheme] of [[1280, "dark"], [390, "light"]] as const) {
    const page = await openPage(context, url);
    await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
    await page.setViewportSize({ width, height: 900 });
    for (const name of names) {
      if (name.startsWith("phone") && width !== 390) continue;
      await page.goto(`${url}#/${encodeURIComponent(name)}`);
      await page.waitForFunction(() => document.querySelector("main")!.textContent!.trim().length > 0);
      await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
      const what = `${name}, ${width} px, ${colorScheme}`;
      await expectAccessible(page, what).catch((fault: Error) => faults.push(fault.message));
      if (name.startsWith("phone")) await expectTargets(page, what).catch((fault: Error) => faults.push(fault.message));
    }
    await page.close();
  }
  await context.close();
  expect(faults).toEqual([]);
});
