// @ts-check
// The page Passage: a route and its streams typed and pasted, verdict and band on the first screen of a phone, not over four
// screens, by keyboard too, night colours, and what was typed is there again.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { ROOT, device, screenshotPath, startWithDemo } from "./harness.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
const PAGE = "/boats/sea-campion/passage";
const read = (/** @type {string} */ name) => readFileSync(join(ROOT, "examples", name), "utf8");

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

for (const [width, height] of [[1280, 900], [360, 740]]) {
  test(`a passage at ${width} px`, async () => {
    const { page, context, faults } = await device(browser, { viewport: { width: width ?? 0, height: height ?? 0 } });
    await page.goto(program.url(PAGE));
    await says(page, /Give the route/);
    await page.getByLabel("Route: points, legs or GPX").fill(read("renn_sound_to_port_aldis.gpx"));
    await page.getByLabel("She leaves at").fill("08:00");
    await page.getByLabel("To arrive").fill("by 12:30");
    await page.getByText("More to say").click();
    await page.getByLabel("Day", { exact: true }).fill("2026-09-28");
    await page.getByLabel("Time of all hours").fill("UTC");
    await says(page, /she is at Port Aldis by 12:/);
    await page.getByLabel("Said of legs").fill("all: stream A");
    await says(page, /no stream table A/);
    await page.getByLabel("Stream tables").fill(read("renn_sound_streams.txt"));
    await page.getByLabel("Their standard port").fill("Renn Sound");
    await page.getByLabel("Its waters from the official table").fill(read("renn_sound_waters.txt"));
    await says(page, /she is at Port Aldis by 12:/);
    assert.match(await page.locator("[data-live=further]").innerText(), /Turn back|turn back/);
    assert.match(await page.locator("[data-live=cautions]").innerText(), /Not for navigation/);
    // The fortnight of departures comes behind the page, which says how far it is and can be told to stop.
    await page.locator("[data-live=further]").filter({ hasText: /departure of the next 14 days/ }).waitFor();
    await page.route("**/search/progress*", (route) => route.fulfill({ json: { is_running: true, done: 84, total: 336, words: "25 % done, about 2 s left." } }));
    await page.reload();
    await page.getByText("25 % done, about 2 s left.").waitFor();
    assert.equal(await page.getByRole("progressbar").evaluate((bar) => /** @type {HTMLProgressElement} */ (bar).value), 84);
    const stop = await page.getByRole("button", { name: "Stop" }).boundingBox();
    assert.ok(stop && stop.height >= 44, `${stop?.height} px`);
    await page.screenshot({ path: screenshotPath(`passage-looking-${width}`), fullPage: true });
    const asked = page.waitForRequest(/longer\/stop$/);
    await page.getByRole("button", { name: "Stop" }).click();
    await asked;
    await page.unroute("**/search/progress*");
    await page.getByRole("progressbar").waitFor({ state: "detached" });
    // Opened anew, what was typed is folded away as on any other day.
    await page.goto(program.url(PAGE));
    await says(page, /she is at Port Aldis by 12:/);
    assert.equal(await page.getByLabel("She leaves at").inputValue(), "08:00");
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), width);
    const screens = await page.evaluate(() => document.documentElement.scrollHeight / window.innerHeight);
    await page.screenshot({ path: screenshotPath(`passage-${width}`), fullPage: true });
    if (width === 360) {
      const box = await page.locator("[data-finding]").first().boundingBox();
      assert.ok(box && box.y + box.height < 740, `the verdict ends at ${box?.y} + ${box?.height}`);
      assert.ok(screens <= 4, `${screens} screens`);
      await page.emulateMedia({ colorScheme: "dark" });
      await page.screenshot({ path: screenshotPath("passage-dark-360"), fullPage: true });
    }
    assert.deepEqual(faults, []);
    await context.close();
  });
}

test("by keyboard: from the hour of leaving to the window", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(PAGE));
  await page.getByLabel("Route: points, legs or GPX").fill("from the pier\n6 nm to the Narrows\n5 nm to Port Aldis");
  await page.getByLabel("She leaves at").focus();
  await page.keyboard.type("09:00");
  await page.keyboard.press("Tab");
  await page.keyboard.type("by 09:10");
  await says(page, /even at full throttle/);
  await page.keyboard.press("Control+A");
  await page.keyboard.type("by 13:00");
  await says(page, /she is at Port Aldis by 1[123]:/);
  await context.close();
});
