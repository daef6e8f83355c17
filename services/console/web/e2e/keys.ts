// What somebody without a mouse can do.

import type { Locator, Page } from "playwright-core";

/** Presses Tab until the control has the focus; a control that Tab does not reach fails the test. */
export async function tabTo(page: Page, control: Locator, most = 400): Promise<void> {
  await control.first().waitFor();
  const has = () => control.first().evaluate((element) => element === document.activeElement);
  for (let n = 0; n < most; n++) {
    if (await has()) return;
    await page.keyboard.press("Tab");
  }
  throw new Error(`Tab does not reach ${control}`);
}

/** Goes to a field and types over what it holds. */
export async function typeInto(page: Page, field: Locator, text: string): Promise<void> {
  await tabTo(page, field);
  await page.keyboard.press("ControlOrMeta+a");
  await page.keyboard.type(text);
}

/** Goes to a list of choices and picks one by typing its words, as a screen reader's user does. */
export async function pick(page: Page, list: Locator, words: string): Promise<void> {
  await tabTo(page, list);
  await page.keyboard.type(words);
}

/** Goes to a button or link and presses it. */
export async function press(page: Page, control: Locator): Promise<void> {
  await tabTo(page, control);
  await page.keyboard.press("Enter");
}
