// @ts-check
// Check-ups as a fitter enters them: a whole list with a thumb on a phone, kept through a crash; photographs over the page,
// one that is none; and what is said over the years on a wide screen.

import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { device, kept, ROOT, screenshotPath, startWithDemo } from "./harness.mjs";
import { seriousFaults } from "./sliders.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
const OVER = "/boats/sea-campion/checkup";
const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true };
const DESK = { viewport: { width: 1280, height: 800 } };

before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

/**
 * @param {import("playwright-core").Page} page
 * @param {string} name
 */
async function look(page, name) {
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${name} is wider than the window`);
  await page.screenshot({ path: screenshotPath(name), fullPage: true });
  assert.deepEqual(await seriousFaults(page), [], name);
}

test("a whole check-up with a thumb, kept through a crash", async () => {
  const { page, context, faults } = await device(browser, PHONE);
  await page.goto(program.url(OVER));
  await look(page, "checkup-over-360");
  await page.getByRole("button", { name: "Begin a check-up" }).click();
  await page.waitForURL(/kept\/checkup\/\d+/);
  const here = page.url();
  await page.evaluate(() => { for (const part of document.querySelectorAll("form.trial details.part")) /** @type {HTMLDetailsElement} */ (part).open = true; });
  // Every control that is touched is large enough for a thumb.
  const small = await page.evaluate(() => [...document.querySelectorAll(".card input, .card select")]
    .filter((thing) => { const box = thing.getBoundingClientRect(); return box.height > 0 && box.height < 44; }).map((thing) => thing.outerHTML.slice(0, 80)));
  assert.deepEqual(small, []);
  const founds = await page.locator("select[id^=item-]").evaluateAll((all) => all.map((one) => one.id));
  assert.ok(founds.length > 30, `${founds.length} items`);
  for (const id of founds) await page.locator(`#${id}`).selectOption(id === "item-belt-found" ? "watch" : "good");
  await page.locator("#item-shaft_bearing-value").fill("0.9");
  await page.locator("#item-shaft_bearing-value[aria-invalid=true]").waitFor();
  await page.locator("#item-shaft_bearing-value").fill("0.9 mm");
  await page.locator("#item-shaft_bearing-value:not([aria-invalid])").waitFor();
  await page.locator("#item-belt-note").fill("dust under the pulley");
  await kept(page);
  await page.locator("h1", { hasText: `${founds.length} of ${founds.length} looked at: 0 to act on now, 1 to watch.` }).waitFor();
  await look(page, "checkup-360");
  await program.kill();
  await program.start();
  await page.goto(here);
  assert.equal(await page.locator("#item-belt-note").inputValue(), "dust under the pulley");
  assert.equal(await page.locator("#item-shaft_bearing-value").inputValue(), "0.9 mm");
  assert.deepEqual(faults.filter((fault) => !/ERR_CONNECTION|Failed to (fetch|load)/.test(fault)), []);
  await context.close();
});

test("photographs come in, are seen, and are refused by name", async () => {
  const { page, context } = await device(browser, DESK);
  await page.goto(program.url(OVER));
  await page.locator("ol.trials a").first().click();
  await page.locator("#photographs-new").setInputFiles([join(ROOT, "docs", "pictures", "drive.png")]);
  await page.getByRole("button", { name: "Add" }).click();
  await page.waitForURL(/#photographs/);
  await page.locator("ul.photographs img").first().scrollIntoViewIfNeeded();
  await page.waitForFunction(() => [...document.querySelectorAll("ul.photographs img")].every((image) => /** @type {HTMLImageElement} */ (image).naturalWidth > 100));
  await page.reload();
  assert.equal(await page.locator("ul.photographs li").count(), 1);
  await look(page, "checkup-1280");
  await page.locator("#photographs-new").setInputFiles([{ name: "../holiday.jpg", mimeType: "image/jpeg", buffer: Buffer.from("GIF89a and no more") }]);
  await page.getByRole("button", { name: "Add" }).click();
  await page.getByText(/holiday\.jpg: neither JPEG nor PNG/).first().waitFor();
  await page.goto(program.url(OVER));
  await look(page, "checkup-over-1280");
  await context.close();
});
