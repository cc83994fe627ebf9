// @ts-check
// The pages that ask by fields to type in: tide, dry-out, the way home. What is typed is asked while it is typed, and stays.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { ROOT, device, screenshotPath, startWithDemo } from "./harness.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
const BOAT = "/boats/sea-campion";
const WATERS = readFileSync(join(ROOT, "examples", "renn_sound_waters.txt"), "utf8");

before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

/**
 * Waits until the finding says so.
 * @param {import("playwright-core").Page} page
 * @param {RegExp} words
 */
async function says(page, words) {
  await page.locator("[data-finding]").filter({ hasText: words }).waitFor();
}

/**
 * @param {import("playwright-core").Page} page
 * @param {string} name
 */
async function fits(page, name) {
  const width = page.viewportSize()?.width ?? 0;
  assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), width, name);
  await page.screenshot({ path: screenshotPath(`${name}-${width}`), fullPage: true });
}

for (const [width, height] of [[1280, 900], [360, 740]]) {
  test(`a place, a dry-out and a way home at ${width} px`, async () => {
    const { page, context, faults } = await device(browser, { viewport: { width: width ?? 0, height: height ?? 0 } });
    await page.goto(program.url(`${BOAT}/tide`));
    await says(page, /No station of the built-in set lies within 20 nm/);
    await page.getByLabel("Place: station or position").fill("Boston");
    await page.getByLabel("First day").fill("2026-10-02");
    await says(page, /high water at 03:50 with 2\.83 m/);
    assert.match(await page.locator("[data-live=further]").innerText(), /^Not for navigation/);
    await fits(page, "tide");

    await page.goto(program.url(`${BOAT}/dryout`));
    await page.getByLabel("Ground above datum").fill("2.20 m ± 0.10 m");
    await page.getByLabel("Place: station or position").fill("Renn Sound");
    await page.getByText("More to say").click();
    await page.getByLabel("Waters from the official table").fill(WATERS);
    await page.getByLabel("Time of the table").fill("UTC");
    await says(page, /low water .* gives .* dry by daylight/);
    assert.match(await page.locator("[data-live=cautions]").innerText(), /somebody aboard and at the lines/);
    await fits(page, "dryout");

    await page.goto(program.url(`${BOAT}/gethome`));
    await says(page, /Give the miles home/);
    await page.getByLabel("Miles home").fill("9");
    await page.getByLabel("Stream", { exact: true }).fill("2 kn against until 00:30");
    await page.getByLabel("In the bank").fill("61 %");
    await page.getByLabel("Now").fill("22:00");
    await says(page, /(leave now|wait until|is home)/);
    await page.getByLabel("In the bank").fill("52.4 V");
    await says(page, /52\.4 V.*iron-phosphate/);
    assert.equal(await page.getByLabel("In the bank").inputValue(), "52.4 V");
    await fits(page, "gethome");
    assert.deepEqual(faults, []);
    await context.close();
  });
}

test("what was typed comes back when the page is opened anew", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(`${BOAT}/gethome`));
  await page.getByLabel("Miles home").fill("4");
  await says(page, /she is home/);
  await page.goto(program.url(`${BOAT}/gethome`));
  await page.getByText("As typed here before.").waitFor();
  assert.equal(await page.getByLabel("Miles home").inputValue(), "4");
  await says(page, /she is home/);
  await context.close();
});
