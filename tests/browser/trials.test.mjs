// @ts-check
// The Trials page as a fitter uses it: the notebook on a phone with cold hands and mistakes, the day and what
// it did, then two afternoons as logs: why she is slow, a forecast kept, held, and values adopted.

import assert from "node:assert/strict";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { device, kept, ROOT, screenshotPath, startWithDemo } from "./harness.mjs";
import { seriousFaults } from "./sliders.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
const TRIALS = "/boats/sea-campion/trials";
const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true };
const LOGS = ["2025-09-21_as_she_came.csv", "2025-10-12_after_the_work.csv"].map((name) => join(ROOT, "examples", "logs", name));

before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

/**
 * Fills a card of the notebook.
 * @param {import("playwright-core").Page} page
 * @param {number} row
 * @param {Record<string, string>} cells
 */
async function write(page, row, cells) {
  for (const [cell, text] of Object.entries(cells)) await page.locator(`#notebook-${row}-${cell}`).fill(text);
  await page.locator("body").click({ position: { x: 2, y: 2 } });
  await kept(page);
}

/**
 * What anybody sees at once of a page: no fault of the script, none that axe finds, nothing wider than the window.
 * @param {import("playwright-core").Page} page
 * @param {string} name
 */
async function look(page, name) {
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${name} is wider than the window`);
  await page.screenshot({ path: screenshotPath(name), fullPage: true });
  assert.deepEqual(await seriousFaults(page), [], name);
}

test("a notebook on a phone: mistakes named, the next run begun, all of it kept through a crash", async () => {
  const { page, context, faults } = await device(browser, PHONE);
  await page.goto(program.url(TRIALS));
  assert.match(await page.locator("h1").innerText(), /No trial of Sea Campion yet/);
  await page.getByRole("button", { name: "Write down runs" }).click();
  await page.waitForURL(/trials\/1/);
  assert.match(await page.locator("h1").innerText(), /written down/);
  assert.equal(await page.locator("#notebook-0-rpm").getAttribute("inputmode"), "decimal");
  await write(page, 0, { direction: "out", rpm: "four sixty", volts: "78,1", amps: "55", speed_over_ground: "5.1" });
  await page.locator("#notebook-0-rpm[aria-invalid=true]").waitFor();
  assert.match(await page.locator("#notebook-0-rpm-note").innerText(), /number|rpm/);
  assert.equal(await page.locator("#notebook-0-rpm").inputValue(), "four sixty");
  await program.kill();
  await program.start();
  await page.goto(program.url(`${TRIALS}/1`));
  assert.equal(await page.locator("#notebook-0-rpm").inputValue(), "four sixty", "kept, wrong as it is");
  await write(page, 0, { rpm: "460" });
  await page.locator("#notebook-0-rpm:not([aria-invalid])").waitFor();
  assert.match(await page.locator("#notebook-0-read").innerText(), /Read as 5\.10 kn over ground, 460 rpm, 4\.\d+ kW/);
  await page.getByRole("button", { name: "Next run, the other way" }).click();
  await page.locator("#notebook-1-direction").waitFor();
  assert.equal(await page.locator("#notebook-1-direction").inputValue(), "back");
  await write(page, 1, { rpm: "460", volts: "78.0", amps: "56", speed_over_ground: "4.3" });
  await page.locator("h1", { hasText: /makes 4\.7 kn at 460 rpm/ }).waitFor();
  await page.reload();
  assert.equal(await page.locator("#notebook-1-speed_over_ground").inputValue(), "4.3");
  assert.match(await page.locator("h1").innerText(), /(below|above) what she should do|as she should/);
  await page.locator("#band-speed, [data-live=band] svg").first().waitFor();
  await look(page, "trial-notebook-360-light");
  // What a thumb presses is large enough.
  const small = await page.evaluate(() => [...document.querySelectorAll(".card input:not([type=hidden]), .card select, .card button, .buttons button")]
    .filter((thing) => { const box = thing.getBoundingClientRect(); return box.height > 0 && box.height < 44; }).map((thing) => thing.outerHTML.slice(0, 80)));
  assert.deepEqual(small, []);
  assert.deepEqual(faults, []);
  await context.close();
});

test("two devices write at once, and nothing is lost", async () => {
  const one = await device(browser);
  const two = await device(browser, PHONE);
  await one.page.goto(program.url(`${TRIALS}/1`));
  await two.page.goto(program.url(`${TRIALS}/1`));
  await write(one.page, 0, { note: "a gust" });
  assert.match(await two.page.locator("#written > summary").innerText(), /2 runs/);
  await two.page.locator("#written > summary").tap();
  await write(two.page, 1, { note: "a ferry’s wash" });
  await write(two.page, 0, { note: "flat" });
  await one.page.goto(program.url(`${TRIALS}/1`));
  assert.equal(await one.page.locator("#notebook-1-note").inputValue(), "a ferry’s wash");
  assert.equal(await one.page.locator("#notebook-0-note").inputValue(), "flat");
  assert.match(await one.page.locator("#note").inputValue(), /a gust/);
  assert.deepEqual([...one.faults, ...two.faults], []);
  await one.context.close();
  await two.context.close();
});

test("the day is read, and what it added is taken off when asked", async () => {
  const { page, context, faults } = await device(browser, PHONE);
  await page.goto(program.url(`${TRIALS}/1`));
  await page.locator("#day > summary").click();
  if (!(await page.locator("#wind").isVisible())) await page.locator("#day > summary").click();
  await page.locator("#wind").fill("breezy");
  await page.locator("#wind[aria-invalid=true]").waitFor();
  assert.match(await page.locator("#wind-note").innerText(), /\S/);
  await page.locator("#wind").fill("8 kn");
  await page.locator("#displacement").fill("16.4 t");
  await page.locator("#wind:not([aria-invalid])").waitFor();
  await kept(page);
  if (!(await page.locator("#correct-displacement").isVisible())) await page.locator("#corrections > summary").click();
  const stated = page.locator("#corrections table tbody tr").first().locator("td").last();
  await page.waitForFunction(() => /\d/.test(document.querySelector("#corrections table tbody tr td:last-child")?.textContent ?? ""));
  const before = await stated.innerText();
  await page.locator("#correct-displacement").check();
  await page.waitForFunction((text) => document.querySelector("#corrections table tbody tr td:last-child")?.textContent !== text, before);
  await look(page, "trial-day-360-light");
  assert.deepEqual(faults, []);
  await context.close();
});

test("two afternoons: why she is slow, a forecast kept and held, values adopted", async () => {
  const { page, context, faults } = await device(browser);
  for (const [place, log] of LOGS.entries()) {
    await page.goto(program.url(TRIALS));
    await page.locator("input[type=file]").first().setInputFiles(log);
    await page.getByRole("button", { name: /Bring in|Bring it in|Send/ }).first().click();
    await page.waitForURL(new RegExp(`trials/${place + 2}`));
    for (const part of ["day"]) if (!(await page.locator(`#${part}`).evaluate((details) => details.hasAttribute("open")))) await page.locator(`#${part} > summary`).click();
    await page.locator("#bottom").selectOption("light slime");
    await page.locator("#blades").selectOption("clean");
    await page.locator("#wind").fill(place === 0 ? "3 kn" : "4 kn");
    await page.locator("#wind_from").fill("NW");
    await page.locator("#title").fill(place === 0 ? "as she came" : "after the work");
    for (const run of [9, 10]) await page.getByLabel(`run ${run}, full throttle`, { exact: true }).check();
    await page.locator("body").click({ position: { x: 2, y: 2 } });
    await kept(page);
  }
  await page.goto(program.url(`${TRIALS}/2`));
  await page.locator(".teaser .lead", { hasText: /less than she should/ }).waitFor({ timeout: 60_000 });
  await page.getByRole("link", { name: "Why: causes" }).click();
  await page.locator("h1", { hasText: /less than she should.*: .*limit of controller/ }).waitFor();
  assert.match(await page.locator("#remedies").innerText(), /remedy will give/);
  const limits = page.locator("details.origin[data-origin=knots_by_limits]");
  await page.getByText("In figures, and where each comes from").click();
  await limits.locator("summary").click();
  await limits.getByText("By the trial \"as she came\", speed lost to a limit of controller, throttle, BMS or heat is").waitFor();
  await page.getByText("In figures, and where each comes from").click();
  await look(page, "trial-causes-1280-light");
  // A remedy of one's own, wrong and right.
  await page.getByLabel("A remedy of your own").fill("polish: polish");
  await page.getByRole("button", { name: "Forecast it" }).click();
  await page.locator("#own-remedy[aria-invalid=true]").waitFor();
  assert.match(await page.locator("#own-remedy-note .fault").innerText(), /no change/);
  await page.getByLabel("A remedy of your own").fill("current and pulleys: limits as stated; ratio 3");
  await page.getByRole("button", { name: "Forecast it" }).click();
  await page.getByRole("button", { name: "Keep the forecast: scrub bottom and blades" }).waitFor();
  await page.getByRole("button", { name: "Keep the forecast: current and pulleys" }).click();
  await page.getByText("Kept with today’s date").waitFor();
  await page.getByText("to be held against a later trial").waitFor();
  // The work is done, and the next trial holds it.
  await page.goto(program.url("/boats/sea-campion/boat"));
  await page.locator("#reduction-ratio").fill("3:1");
  await page.getByRole("button", { name: "Keep as revision" }).click();
  await page.getByText(/Kept as revision \d/).waitFor();
  await page.goto(program.url(`${TRIALS}/3/causes`));
  await page.locator(".forecast", { hasText: /After "current and pulleys" she makes/ }).waitFor({ timeout: 60_000 });
  // The limit held on the first afternoon and not on the second: both are read together.
  await page.getByText(/held her back on "as she came" and no longer on "after the work"/).first().waitFor();
  await look(page, "trial-held-1280-light");
  // What both know better becomes a revision, which Drive counts with.
  await page.getByRole("button", { name: "Adopt as a new revision" }).click();
  await page.getByText("Her document has a new revision").waitFor();
  await page.goto(program.url("/boats/sea-campion/history"));
  await page.getByText("adopted from").first().waitFor();
  await page.goto(program.url(`${TRIALS}/3/causes`));
  await page.getByRole("button", { name: "Put aside the forecast: current and pulleys" }).click();
  await page.getByText("None yet. Keep one").waitFor({ timeout: 60_000 });
  assert.deepEqual(faults, []);
  await context.close();
});

for (const { width, colorScheme } of /** @type {const} */ ([{ width: 360, colorScheme: "light" }, { width: 360, colorScheme: "dark" }, { width: 1280, colorScheme: "dark" }])) {
  test(`the pages at ${width} px, ${colorScheme}`, async () => {
    const { page, context, faults } = await device(browser, { viewport: { width, height: 800 }, colorScheme, hasTouch: width < 500 });
    await page.goto(program.url(TRIALS));
    await look(page, `trials-${width}-${colorScheme}`);
    await page.goto(program.url(`${TRIALS}/2`));
    await page.locator(".teaser .lead").waitFor({ timeout: 60_000 });
    await look(page, `trial-${width}-${colorScheme}`);
    await page.goto(program.url(`${TRIALS}/2/causes`));
    await page.locator("h1", { hasText: /less than she should/ }).waitFor({ timeout: 60_000 });
    await look(page, `trial-causes-${width}-${colorScheme}`);
    assert.deepEqual(faults, []);
    await context.close();
  });
}

test("without a script a link leads to what was found, and a trial can be taken off the list and back", async () => {
  const { page, context } = await device(browser, { javaScriptEnabled: false });
  await page.goto(program.url(`${TRIALS}/1`));
  await page.getByRole("link", { name: "Why: causes" }).click();
  const show = page.getByRole("link", { name: "Show what was found" });
  if (await show.count()) await show.click();
  assert.match(await page.locator("h1").innerText(), /Sea Campion/);
  await page.goto(program.url(`${TRIALS}/1`));
  await page.getByRole("button", { name: "Take this trial off the list" }).click();
  await page.getByRole("button", { name: "Reinstate" }).click();
  assert.match(page.url(), /trials\/1/);
  await context.close();
});

for (const arrives of ["before the button's post, its answer after", "after it"]) {
  test(`a letter under way when a button is pressed is no other device's: it arrives ${arrives}`, async () => {
    const { page, context, faults } = await device(browser);
    await page.goto(program.url(TRIALS));
    await page.getByRole("button", { name: "Write down runs" }).click();
    await page.waitForURL(/trials\/\d+/);
    const address = page.url().split("#")[0];
    /** @type {(value?: unknown) => void} */ let release = () => undefined;
    const pressed = new Promise((resolve) => { release = resolve; });
    /** @type {(value?: unknown) => void} */ let settle = () => undefined;
    const taken = new Promise((resolve) => { settle = resolve; });
    let letters = 0;
    await page.route("**/draft", async (route) => {
      letters += 1;
      if (letters > 1) return route.continue();
      if (arrives === "after it") await pressed;
      await route.fetch();
      settle();
      await pressed;
      await route.abort().catch(() => undefined);
    });
    await page.locator("#notebook-0-rpm").pressSequentially("46", { delay: 20 });
    await page.waitForTimeout(600);
    assert.equal(letters, 1, "one letter is under way");
    if (arrives !== "after it") await taken;
    await page.locator("#notebook-0-rpm").pressSequentially("0", { delay: 20 });
    await page.locator("#notebook-0-volts").fill("78");
    await page.getByRole("button", { name: "Next run, the other way" }).click();
    await page.locator("#notebook-1-direction").waitFor();
    release();
    await taken;
    await page.goto(`${address}?again`);
    assert.equal(await page.locator("#notebook-0-rpm").inputValue(), "460");
    assert.equal(await page.locator("#notebook-0-volts").inputValue(), "78");
    assert.equal(await page.locator("#note").inputValue(), "");
    assert.equal(await page.locator("p.notice", { hasText: "meanwhile" }).count(), 0);
    assert.deepEqual(faults, []);
    await context.close();
  });
}
