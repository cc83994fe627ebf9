// @ts-check
// The Options page as a fitter uses it: columns and differences, an alternative typed with mistakes,
// changed, moved and taken out, and somebody else at work on the same boat.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { device, screenshotPath, startWithDemo } from "./harness.mjs";
import { seriousFaults } from "./sliders.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;

before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

let count = 0;
/** A boat of her own with the invented one's document; gives the address of her Options. @param {import("playwright-core").Page} page */
async function newBoat(page) {
  count += 1;
  await page.goto(program.url("/"));
  const row = page.getByRole("row", { name: /Sea Campion/ });
  await row.locator("summary").click();
  await row.getByLabel("Copy under the name").fill(`Tern ${count}`);
  await row.getByRole("button", { name: "Copy" }).click();
  await page.waitForURL(/\/boats\/tern-/);
  return `/boats/tern-${count}/options`;
}

/** Heads of the columns. @param {import("playwright-core").Page} page */
async function heads(page) {
  const all = await page.locator(".beside thead th").allInnerTexts();
  return all.map((text) => text.replace(/\s*change$/, ""));
}

test("columns stand beside the boat as she is, with differences and how sure they are", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url("/boats/sea-campion/options"));
  assert.match(await page.locator("[data-finding]").innerText(), /For top speed "3:1 pulleys" is best: [\d.]+ kn, [\d.]+ kn more than as she is/);
  assert.match(await page.locator(".under-sentence").first().innerText(), /Within the noise lie/);
  assert.deepEqual(await heads(page), ["as she is", "3:1 pulleys", "re-pitch to 13 in", "320 A controller"]);
  const row = (/** @type {string} */ name) => page.locator(".beside tbody tr", { has: page.locator(`th:text-is("${name}"), th:has(summary:text-is("${name}"))`) }).first();
  const speed = await row("top speed, kn").locator("td").allInnerTexts();
  assert.equal(speed.length, 4);
  assert.match(speed[1] ?? "", /^[\d.]+\s+\+0\.\d\d\s+\+0\.\d\d to \+0\.\d\d\s+better in /);
  assert.match(await row("cost").innerText(), /640 EUR\s+310 EUR\s+1,650 EUR/);
  for (const name of ["apparent slip, %", "battery current, A", "steady winding, °C", "cavitation used, %", "tip speed, m/s", "tip clearance, mm",
    "shaft stress, N/mm²", "pull at a quay, N", "crash stop, way, m", "mass, kg", "trim aft, mm", "energy, Wh/nm", "range, nm"]) {
    assert.ok((await row(name).count()) === 1 || (await page.locator(".beside th", { hasText: name.split(",")[0] ?? "" }).count()) > 0, name);
  }
  assert.match(await page.locator(".beside").innerText(), /within the noise/);
  assert.equal(await page.locator("svg#speed-difference-picture, svg#energy-difference-picture, svg#shafts-picture").count(), 3);
  await page.locator("#shafts").getByRole("link", { name: "re-pitch to 13 in" }).click();
  assert.match(await page.locator("svg#shafts-picture").innerHTML(), /re-pitch to 13 in/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("every figure opens to where it comes from", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url("/boats/sea-campion/options"));
  for (const [name, words] of [["shaft stress", /tau = 16 Q/], ["top speed", /Formula[\s\S]*Delft/], ["crash stop, way", /smogeli2006/]]) {
    const origin = page.locator(".beside .origin", { has: page.locator("summary", { hasText: name }) }).first();
    await origin.locator("summary").click();
    await origin.locator("dl").waitFor();
    assert.match(await origin.innerText(), /** @type {RegExp} */ (words));
  }
  await context.close();
});

test("other speeds are asked in any unit, and a wrong one stays as typed", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url("/boats/sea-campion/options"));
  const field = page.getByLabel("Speeds to compare at");
  await field.fill("3 kn, 2 m/s");
  await page.getByRole("button", { name: "Show" }).click();
  const headings = await page.locator(".beside tr.heading th").allInnerTexts();
  assert.deepEqual(headings, ["At full throttle", "At 3.0 kn", "At 3.9 kn"]);
  const csv = await page.locator("a[download]", { hasText: "CSV" }).getAttribute("href");
  const file = await page.request.get(program.url(csv ?? ""));
  assert.match(await file.text(), /^variant,speed_kn,[\s\S]*re-pitch to 13 in,3,/);
  const json = await page.request.get(program.url((csv ?? "").replace(".csv", ".json")));
  assert.equal((await json.json()).format, "wakewright/options");
  await field.fill("3 kn, brisk");
  await page.getByRole("button", { name: "Show" }).click();
  assert.equal(await field.inputValue(), "3 kn, brisk");
  assert.match(await page.locator("#speeds-note").innerText(), /^✗ Brisk|brisk/i);
  assert.equal(await field.getAttribute("aria-invalid"), "true");
  await context.close();
});

test("an alternative is typed with mistakes, put right, changed, moved and taken out", async () => {
  const { page, context, faults } = await device(browser);
  const address = await newBoat(page);
  await page.goto(program.url(address));
  await page.getByRole("link", { name: "Add an alternative" }).click();
  const fresh = page.locator("#new");
  const summary = fresh.locator("> summary");
  if (!(await fresh.evaluate((part) => /** @type {HTMLDetailsElement} */ (part).open))) await summary.click();
  await fresh.getByLabel("name", { exact: true }).fill("320 A controller");
  await fresh.getByLabel("cost").fill("cheap");
  await fresh.getByLabel("field of change 1").selectOption("propeller.pitch");
  await fresh.getByLabel("new value of change 1").fill("steep");
  await fresh.getByLabel("new value of change 2").fill("2.6");
  await fresh.getByRole("button", { name: "Lay it beside her" }).click();
  await page.locator("#new [role=alert]").waitFor();
  assert.match(await fresh.innerText(), /Another alternative has this name[\s\S]*cannot be read as a cost[\s\S]*Choose the field/);
  assert.equal(await fresh.getByLabel("cost").inputValue(), "cheap");
  assert.equal(await fresh.getByLabel("new value of change 2").inputValue(), "2.6");
  await fresh.getByLabel("name", { exact: true }).fill("steeper");
  await fresh.getByLabel("cost").fill("£300");
  await fresh.getByLabel("field of change 2").selectOption("reduction.ratio");
  await fresh.getByRole("button", { name: "Lay it beside her" }).click();
  await page.locator("#new [role=alert]").waitFor();
  assert.match(await page.locator("#new-line-0").innerText(), /does not begin with a number/);
  assert.equal(await fresh.getByLabel("new value of change 1").getAttribute("aria-invalid"), "true");
  assert.equal(await fresh.getByLabel("new value of change 1").inputValue(), "steep");
  await fresh.getByLabel("new value of change 1").fill("254 mm");
  await fresh.getByRole("button", { name: "Lay it beside her" }).click();
  await page.waitForURL(/done=kept/);
  assert.deepEqual(await heads(page), ["as she is", "3:1 pulleys", "re-pitch to 13 in", "320 A controller", "steeper"]);
  // Changed in place.
  await page.getByRole("link", { name: "Change “steeper”" }).click();
  const own = page.locator("#alternative-4");
  assert.equal(await own.evaluate((part) => /** @type {HTMLDetailsElement} */ (part).open), true);
  await own.getByLabel("name", { exact: true }).fill("steeper, slower");
  await own.getByLabel("field of change 2").selectOption("");
  await own.getByLabel("new value of change 2").fill("");
  await own.getByRole("button", { name: "Keep the changes" }).click();
  await page.waitForURL(/done=kept/);
  assert.deepEqual((await heads(page)).at(-1), "steeper, slower");
  assert.match(await page.locator("#alternative-4 > summary").innerText(), /1 change/);
  await page.locator("#alternative-4 > summary").click();
  await page.locator("#alternative-4").getByRole("button", { name: "Move before" }).click();
  await page.waitForURL(/done=moved/);
  assert.deepEqual(await heads(page), ["as she is", "3:1 pulleys", "re-pitch to 13 in", "steeper, slower", "320 A controller"]);
  await page.locator("#alternative-4 > summary").click();
  await page.locator("#alternative-4").getByRole("button", { name: "Take out" }).click();
  await page.waitForURL(/done=removed/);
  assert.deepEqual(await heads(page), ["as she is", "3:1 pulleys", "re-pitch to 13 in", "steeper, slower"]);
  const document = await page.request.get(program.url(address.replace("options", "document.toml")));
  assert.doesNotMatch(await document.text(), /larger controller on its cold plate/, "its masses went with it");
  assert.deepEqual(faults, []);
  await context.close();
});

test("what cannot be computed is said at the form, and nothing is kept", async () => {
  const { page, context } = await device(browser);
  const address = await newBoat(page);
  await page.goto(program.url(`${address}?set=reduction.ratio%3D2%3A1`));
  const fresh = page.locator("#new");
  assert.equal(await fresh.getByLabel("new value of change 1").inputValue(), "2:1", "what is tried fills the form");
  await fresh.getByLabel("field of change 1").selectOption("reduction.kind");
  await fresh.getByLabel("new value of change 1").fill("direct");
  await fresh.getByLabel("name", { exact: true }).fill("no belt");
  await fresh.getByRole("button", { name: "Lay it beside her" }).click();
  await page.locator("#new [role=alert]").waitFor();
  assert.match(await fresh.innerText(), /direct/);
  await page.goto(program.url(address));
  assert.deepEqual(await heads(page), ["as she is", "3:1 pulleys", "re-pitch to 13 in", "320 A controller"]);
  await context.close();
});

test("two who change her alternatives lose nothing", async () => {
  const { page, context } = await device(browser);
  const address = await newBoat(page);
  const other = await context.newPage();
  await page.goto(program.url(address));
  await other.goto(program.url(address));
  for (const [tab, ratio] of /** @type {const} */ ([[page, "2.8:1"], [other, "3.2:1"]])) {
    await tab.locator("#alternative-1 > summary").click();
    await tab.locator("#alternative-1").getByLabel("new value of change 1").fill(ratio);
    await tab.locator("#alternative-1").getByRole("button", { name: "Keep the changes" }).click();
    await tab.waitForURL(/done=kept|aside/);
  }
  assert.match(other.url(), /\/aside\/\d+$/);
  const shown = await other.locator("main").innerText();
  assert.match(shown, /2\.8:1/);
  assert.match(shown, /3\.2:1/);
  await context.close();
});

test("what was typed and not sent is there again", async () => {
  const { page, context } = await device(browser);
  const address = await newBoat(page);
  await page.goto(program.url(address));
  await page.locator("#new > summary").click();
  await page.locator("#new").getByLabel("name", { exact: true }).fill("half a thought");
  await program.kill();
  await program.start();
  await page.goto(program.url(address));
  assert.equal(await page.locator("#new").getByLabel("name", { exact: true }).inputValue(), "half a thought");
  await page.getByRole("button", { name: "Take what is kept instead" }).click();
  assert.equal(await page.locator("#new").getByLabel("name", { exact: true }).inputValue(), "");
  await page.reload();
  assert.equal(await page.locator("#new").getByLabel("name", { exact: true }).inputValue(), "");
  await context.close();
});

test("without alternatives she has ideas to begin with", async () => {
  const { page, context } = await device(browser);
  const address = await newBoat(page);
  for (let left = 3; left > 0; left -= 1) {
    await page.goto(program.url(address));
    await page.locator("#alternative-1 > summary").click();
    await page.locator("#alternative-1").getByRole("button", { name: "Take out" }).click();
    await page.waitForURL(/done=removed/);
  }
  assert.match(await page.locator("h1").innerText(), /Nothing is laid beside Tern \d+ yet/);
  await page.screenshot({ path: screenshotPath("options-empty-1280-light"), fullPage: true });
  await page.getByRole("link", { name: /Re-pitch to 13 in/ }).click();
  await page.locator("#new").getByRole("button", { name: "Lay it beside her" }).click();
  await page.waitForURL(/done=kept/);
  assert.equal((await heads(page)).length, 2);
  await context.close();
});

test("without a script everything is there", async () => {
  const { page, context } = await device(browser, { javaScriptEnabled: false });
  const address = await newBoat(page);
  await page.goto(program.url(`${address}?set=propeller.pitch%3D14%20in`));
  await page.locator("#new").getByRole("button", { name: "Lay it beside her" }).click();
  assert.match(page.url(), /done=kept/);
  assert.equal((await heads(page)).length, 5);
  await context.close();
});

for (const [width, colorScheme] of /** @type {const} */ ([[360, "light"], [360, "dark"], [1280, "light"], [1280, "dark"]])) {
  test(`at ${width} px, ${colorScheme}: reached by keyboard, nothing wider than the window`, async () => {
    const { page, context, faults } = await device(browser, { viewport: { width, height: 800 }, colorScheme, hasTouch: width < 500 });
    await page.goto(program.url("/"));
    await page.goto(program.url("/boats/sea-campion/options"));
    assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
    const figures = page.locator("details[data-fold=figures]");
    if (!(await figures.evaluate((fold) => /** @type {HTMLDetailsElement} */ (fold).open))) await figures.locator("> summary").press("Enter");
    const region = page.getByRole("region", { name: "Alternatives side by side" });
    await region.focus();
    if (width > 500) {
      await page.keyboard.press("ArrowDown");
      await page.waitForFunction(() => (document.querySelector(".beside")?.scrollTop ?? 0) > 0);
    } else {
      for (let press = 0; press < 6; press += 1) await page.keyboard.press("ArrowRight");
      await page.waitForFunction(() => (document.querySelector(".beside")?.scrollLeft ?? 0) > 60);
    }
    for (const part of await page.locator(".alternatives details").all()) {
      if (!(await part.evaluate((details) => /** @type {HTMLDetailsElement} */ (details).open))) await part.locator("> summary").press("Enter");
    }
    await page.screenshot({ path: screenshotPath(`options-${width}-${colorScheme}`), fullPage: true });
    assert.deepEqual(await seriousFaults(page), []);
    assert.deepEqual(faults, []);
    await context.close();
  });
}
