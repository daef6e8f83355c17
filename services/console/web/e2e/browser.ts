// Debian's Chromium, driven by playwright-core; what every page is held to.

import { existsSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { chromium, type Browser, type BrowserContext, type BrowserContextOptions, type Page } from "playwright-core";
import { expect } from "vitest";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

export const openBrowser = (): Promise<Browser> => chromium.launch({ executablePath: chromiumPath(), args: ["--no-sandbox"] });

export function chromiumPath(): string {
  const found = [process.env.CHROMIUM, "/usr/bin/chromium", "/usr/bin/chromium-browser"].find((path) => path && existsSync(path));
  if (!found) throw new Error("Chromium is not installed; set CHROMIUM to its path");
  return found;
}

/** How long a step takes is not judged: a busy machine is given a minute for each. */
export async function patient(opened: Promise<BrowserContext>): Promise<BrowserContext> {
  const context = await opened;
  context.setDefaultTimeout(60_000);
  return context;
}

export const desk = (browser: Browser): Promise<BrowserContext> => patient(browser.newContext({ viewport: { width: 1280, height: 900 } }));
// Touch and width of a phone, but not the emulation of its pinch zoom: that
// shifts coordinates under the driver now and then.
// No service worker: what a test answers in the server's place would pass it by.
export const phone = (browser: Browser): Promise<BrowserContext> => installable(browser, { serviceWorkers: "block" });
/** A phone on which the page is kept for work without signal. */
export const installable = (browser: Browser, more: BrowserContextOptions = {}): Promise<BrowserContext> =>
  patient(browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, ...more }));

/** A page that fails the test on any script error, and on anything that the server's content policy had to stop. */
export async function openPage(context: BrowserContext, url: string): Promise<Page> {
  const page = await context.newPage();
  page.on("pageerror", (error) => { throw error; });
  page.on("console", (message) => {
    if (/Content Security Policy/i.test(message.text())) throw new Error(message.text());
  });
  await page.goto(url);
  return page;
}

/** Whether the page keeps the rules of WCAG 2.2 AA that a machine can check, and does not scroll sideways. */
export async function expectAccessible(page: Page, what: string): Promise<void> {
  // Added as text of the page's own evaluation, since the server's content
  // policy lets in no foreign script.
  if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(axe);
  // The phone's foot lies over whatever was scrolled beneath it; at the end of the page it lies over nothing.
  await page.evaluate(() => { if (document.querySelector("footer.foot")) scrollTo(0, document.documentElement.scrollHeight); });
  const found = await page.evaluate(async () => {
    // A phone's foot covers what scrolls under it; at the end of the page it covers nothing.
    const at = scrollY;
    if (document.body.classList.contains("phone")) scrollTo(0, document.documentElement.scrollHeight);
    const run = (window as unknown as { axe: { run: (options: unknown) => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> } }).axe.run;
    const { violations } = await run({
      runOnly: ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"],
      resultTypes: ["violations"], // every rule runs; only what it finds wrong is described
      rules: { "page-has-heading-one": { enabled: false } }, // while a page is being read it has nothing to name
    });
    scrollTo(0, at);
    return violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 160)).join(" | ")}`);
  });
  expect(found, [what, ...found].join("\n")).toEqual([]);
  const sideways = await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth ? []
    : [...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > window.innerWidth).map((e) => e.outerHTML.slice(0, 120)));
  expect(sideways, [`${what} scrolls sideways`, ...sideways.slice(-3)].join("\n")).toEqual([]);
}

/** No target that a thumb must hit is under 44 px, whether it is a control or the label that stands for it. */
export async function expectTargets(page: Page, what: string): Promise<void> {
  const small = await page.evaluate(() =>
    [...document.querySelectorAll<HTMLElement>("main :is(button, a[href], select, input, textarea, summary), footer :is(button, a[href])")].flatMap((e) => {
      const target = e.closest("label") && /checkbox|radio|file/.test((e as HTMLInputElement).type ?? "") ? e.closest("label")! : e;
      const box = target.getBoundingClientRect();
      return box.height === 0 || (box.height >= 44 && box.width >= 44) ? [] : [`${target.outerHTML.slice(0, 100)}: ${Math.round(box.width)} × ${Math.round(box.height)}`];
    }));
  expect(small, `${what}: targets under 44 px`).toEqual([]);
}

/** Runs once the page has a heading, that is, once it shows something. */
export const shown = (page: Page) => page.getByRole("heading", { level: 1 }).first().waitFor();

/** Called when a test has failed: leaves a picture of every open page in test-results. */
export async function picture(browser: Browser, name: string): Promise<void> {
  const pages = browser.contexts().flatMap((context) => context.pages());
  for (const [i, page] of pages.entries()) await page.screenshot({ path: `../../../test-results/${name}-${i}.png`, fullPage: true });
}
