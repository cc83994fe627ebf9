// @ts-check
// The Search page as a fitter uses it: asking with mistakes, waiting, stopping, the frame on the front,
// a candidate that becomes an alternative, nothing found, and the program killed in the middle.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { device, screenshotPath, startWithDemo } from "./harness.mjs";
import { seriousFaults } from "./sliders.mjs";

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
const SEARCH = "/boats/sea-campion/search";

before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

/** Her bank stays as it is, above 60 V. @param {import("playwright-core").Page} page */
async function keepAllButThePropeller(page) {
  for (const part of ["The reduction", "Motor and controller", "Cells in series", "Packs in parallel"]) await page.getByLabel(part, { exact: true }).check();
  await page.getByLabel(/above 60 V too/).check();
}

/** Motor, volts and packs stay until asked otherwise. @param {import("playwright-core").Page} page */
async function letAllChange(page) {
  for (const part of ["Motor and controller", "Cells in series", "Packs in parallel"]) await page.getByLabel(part, { exact: true }).uncheck();
}

/** Only what a propeller shop does: a search of a blink. @param {import("playwright-core").Page} page */
async function askForPropellers(page) {
  await page.goto(program.url(SEARCH));
  await keepAllButThePropeller(page);
  await page.getByRole("button", { name: "Search", exact: true }).click();
  await page.locator(".front").waitFor();
}

/** A search that takes a while. @param {import("playwright-core").Page} page */
async function askForEverything(page) {
  await page.goto(program.url(SEARCH));
  await letAllChange(page);
  await page.getByLabel("reductions").fill("1..4/0.003");
  // So much that it lasts for some seconds.
  await page.locator("#packs").fill(Array.from({ length: 40 }, (_, packs) => packs + 1).join(","));
  await page.getByRole("button", { name: "Search", exact: true }).click();
  await page.locator("[data-progress]").waitFor();
}

/** How many of the front lie within the frame. @param {import("playwright-core").Page} page */
async function within(page) {
  const said = await page.locator("[data-live=list] [role=status]").innerText();
  const found = /^(?:All )?(\d+)/.exec(said);
  assert.ok(found, said);
  return Number(found[1]);
}

test("wrong wishes are named at their fields and stay as typed", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url(SEARCH));
  assert.match(await page.locator("h1").innerText(), /^Which propeller would serve Sea Campion best\? Motor and controller, cells in series and packs in parallel stay as they are/);
  await page.getByLabel("diameter").fill("15 in..12 in");
  await page.getByLabel("blades").fill("nine");
  await page.getByLabel("motor and packs at most").fill("light");
  await page.getByLabel("budget").fill("900");
  await page.getByRole("button", { name: "Search", exact: true }).click();
  await page.locator("#diameter[aria-invalid=true]").waitFor();
  assert.equal(await page.locator("#blades").inputValue(), "nine");
  assert.match(await page.locator("#blades-note").innerText(), /numbers of blades/);
  assert.match(await page.locator("#mass-note").innerText(), /number/);
  assert.match(await page.locator("h1").innerText(), /cannot begin/);
  for (const name of ["diameter", "blades", "mass"]) await page.locator(`#${name}`).fill("");
  await page.getByRole("button", { name: "Search", exact: true }).click();
  await page.locator("#price-propeller[aria-invalid=true]").waitFor();
  assert.match(await page.locator("#price-propeller-note").innerText(), /need a price/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a search says how far it is, and stops when asked", async () => {
  const { page, context, faults } = await device(browser);
  await askForEverything(page);
  const words = page.locator("#progress-words");
  await page.waitForFunction(() => /about \d+ s left/.test(document.querySelector("#progress-words")?.textContent ?? ""));
  assert.match(await words.innerText(), /^\d+ % done/);
  assert.ok(Number(await page.locator("progress").getAttribute("max")) > 1e6);
  await page.screenshot({ path: screenshotPath("search-running-1280-light"), fullPage: true });
  await page.getByRole("button", { name: "Stop" }).click();
  await page.getByText("The search was stopped").waitFor();
  assert.equal(await page.getByLabel("reductions").inputValue(), "1..4/0.003", "what was asked is still there");
  assert.deepEqual(faults, []);
  await context.close();
});

test("only a few run at a time", async () => {
  const { page, context } = await device(browser);
  const second = await context.newPage();
  const third = await context.newPage();
  // The third stands ready before the others begin: a search lasts some seconds only.
  await third.goto(program.url(SEARCH));
  await third.getByLabel("reductions").fill("2..3/0.1");
  await askForEverything(page);
  await askForEverything(second);
  await third.bringToFront();
  await third.getByRole("button", { name: "Search", exact: true }).click();
  await third.getByText("As many searches run as may").waitFor();
  assert.equal(await third.getByLabel("reductions").inputValue(), "2..3/0.1");
  // Pages answer while the searches run.
  const begun = Date.now();
  await third.goto(program.url("/boats/sea-campion/range"));
  assert.ok(Date.now() - begun < 5000);
  for (const tab of [page, second]) {
    // A tab in the background is drawn seldom while every core searches, and a click waits for that.
    await tab.bringToFront();
    await tab.getByRole("button", { name: "Stop" }).click();
    await tab.getByText("The search was stopped").waitFor();
  }
  await context.close();
});

test("the frame is slid or drawn, and the list follows it", async () => {
  const { page, context, faults } = await device(browser);
  await askForPropellers(page);
  assert.match(await page.locator("[data-finding]").innerText(), /^(The pick for|Nothing serves) Sea Campion/);
  assert.match(await page.locator(".under-sentence").first().innerText(), /Four times in five|front/);
  const all = await within(page);
  assert.ok(all > 3);
  // By keyboard.
  const from = page.locator("#y-from");
  await from.focus();
  for (let press = 0; press < 8; press += 1) await page.keyboard.press("PageUp");
  await page.waitForURL(/y-from=/);
  await page.waitForFunction((all) => Number(/\d+/.exec(document.querySelector("[data-live=list] [role=status]")?.textContent ?? "")?.[0]) < all, all);
  assert.ok(await from.evaluate((slider) => slider === document.activeElement), "the focus stays");
  const few = await within(page);
  assert.ok((await page.locator("table.candidates [data-key]").count()) <= few);
  await page.getByRole("link", { name: "The whole front" }).click();
  await page.waitForFunction((all) => Number(/\d+/.exec(document.querySelector("[data-live=list] [role=status]")?.textContent ?? "")?.[0]) === all, all);
  // By pointer, around the pick.
  const picture = page.locator("#front-picture");
  await picture.scrollIntoViewIfNeeded();
  const point = await picture.locator("circle[data-key]").last().boundingBox();
  assert.ok(point);
  await page.mouse.move(point.x - 30, point.y - 30);
  await page.mouse.down();
  await page.mouse.move(point.x + 10, point.y + 10);
  await page.mouse.move(point.x + 40, point.y + 40);
  assert.equal(await picture.locator("rect.frame").count(), 1);
  await page.mouse.up();
  await page.waitForFunction((all) => Number(/\d+/.exec(document.querySelector("[data-live=list] [role=status]")?.textContent ?? "")?.[0]) < all, all);
  assert.ok((await within(page)) >= 1);
  // Other merits have other ends.
  await page.getByLabel("what is shown up").selectOption("tips");
  await page.waitForURL(/y=tips/);
  await page.locator("[data-axis=y] output", { hasText: "m/s" }).first().waitFor();
  assert.match(await picture.innerHTML(), /blade tips/);
  // The address shows the same again.
  const shown = await within(page);
  await page.reload();
  assert.equal(await within(page), shown);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a candidate becomes an alternative under a name of one's own", async () => {
  const { page, context, faults } = await device(browser);
  await askForPropellers(page);
  await page.getByRole("link", { name: /Look at A new propeller/ }).first().press("Enter");
  const chosen = page.locator("#chosen");
  await chosen.waitFor();
  assert.match(await chosen.innerText(), /new propeller/);
  const speed = /top speed\s+([\d.]+) kn/.exec(await chosen.innerText())?.[1];
  await chosen.getByLabel("Name of the alternative").fill("found one");
  await chosen.getByRole("button", { name: "Make it an alternative" }).click();
  await page.getByText("“found one” is an alternative in her document now").waitFor();
  assert.equal(await page.getByText("Her document was changed since").count(), 0);
  await page.getByRole("link", { name: "See it beside her on Options" }).click();
  await page.waitForURL(/options/);
  const heads = await page.locator(".beside thead th").allInnerTexts();
  assert.match(heads.at(-1) ?? "", /found one/);
  const top = page.locator(".beside tbody tr", { has: page.locator("summary", { hasText: "top speed" }) }).first();
  // The search takes her as expected, Options the middle of her samples.
  const beside = Number.parseFloat(await top.locator("td").last().innerText());
  assert.ok(Math.abs(beside - Number(speed)) < 0.3, `${beside} kn beside the search's ${speed} kn`);
  assert.deepEqual(faults, []);
  await context.close();
});

test("a point on the picture is pressed, and two blades are cautioned", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(`${SEARCH}`));
  await page.getByLabel("blades").fill("2");
  await keepAllButThePropeller(page);
  await page.getByRole("button", { name: "Search", exact: true }).click();
  await page.locator("#front-picture").scrollIntoViewIfNeeded();
  const points = page.locator("#front-picture circle[data-key]:not([data-key=present])");
  const box = await points.first().boundingBox();
  assert.ok(box);
  await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
  await page.locator("#chosen").waitFor();
  for (const link of await page.getByRole("link", { name: /Look at A new propeller.*2 blades/ }).all()) {
    await link.click();
    await page.locator("#chosen", { hasText: "Two-bladed" }).waitFor();
    break;
  }
  await context.close();
});

test("nothing found says which limit, and what loosening would give", async () => {
  const { page, context } = await device(browser);
  await page.goto(program.url(SEARCH));
  await page.getByLabel("motor and packs at most").fill("40 kg");
  await page.getByRole("button", { name: "Search", exact: true }).click();
  await page.locator(".refusals table").waitFor();
  assert.match(await page.locator("[data-finding]").innerText(), /^None of [\d,]+ candidates keeps to every limit for Sea Campion; the mass allowed refuses most/);
  assert.match(await page.locator(".under-sentence").first().innerText(), /would let the first of them in/);
  assert.equal(await page.getByLabel("motor and packs at most").inputValue(), "40 kg");
  await page.screenshot({ path: screenshotPath("search-nothing-1280-light"), fullPage: true });
  await context.close();
});

test("killed in mid-search, everything is as it was and what was asked is still there", async () => {
  const { page, context } = await device(browser);
  const before = await (await page.request.get(program.url("/boats/sea-campion/document.toml"))).text();
  await askForEverything(page);
  await page.waitForTimeout(300);
  await program.kill();
  await program.start();
  await page.reload();
  await page.getByText("This search is no longer held").waitFor();
  assert.equal(await page.getByLabel("reductions").inputValue(), "1..4/0.003");
  const after = await (await page.request.get(program.url("/boats/sea-campion/document.toml"))).text();
  assert.equal(after, before);
  await askForPropellers(page);
  await context.close();
});

test("without a script the page waits, shows the front and keeps a candidate", async () => {
  const { page, context } = await device(browser, { javaScriptEnabled: false });
  await page.goto(program.url(SEARCH));
  await letAllChange(page);
  await page.getByLabel("reductions").fill("1..4/0.03");
  await page.getByRole("button", { name: "Search", exact: true }).click();
  await page.locator("progress").waitFor();
  await page.locator(".front").waitFor({ timeout: 60_000 });
  await page.getByLabel("what is shown up").selectOption("tips");
  await page.getByRole("button", { name: "Show" }).click();
  await page.waitForURL(/y=tips/);
  assert.match(await page.locator("#front-picture").innerHTML(), /blade tips/);
  await page.getByRole("link", { name: /Look at / }).nth(1).click();
  await page.getByRole("button", { name: "Make it an alternative" }).click();
  await page.waitForURL(/kept=/);
  await context.close();
});

for (const [width, colorScheme] of /** @type {const} */ ([[360, "light"], [360, "dark"], [1280, "light"], [1280, "dark"]])) {
  test(`at ${width} px, ${colorScheme}: nothing wider than the window, no serious fault`, async () => {
    const { page, context, faults } = await device(browser, { viewport: { width, height: 800 }, colorScheme, hasTouch: width < 500 });
    await page.goto(program.url("/"));
    await page.goto(program.url(SEARCH));
    const fits = () => page.evaluate(() => document.documentElement.scrollWidth <= innerWidth);
    assert.ok(await fits());
    assert.deepEqual(await seriousFaults(page), []);
    await page.screenshot({ path: screenshotPath(`search-asking-${width}-${colorScheme}`), fullPage: true });
    await askForPropellers(page);
    await page.getByRole("link", { name: "Look at the pick" }).click();
    await page.locator("#chosen").waitFor();
    assert.ok(await fits());
    await page.screenshot({ path: screenshotPath(`search-found-${width}-${colorScheme}`), fullPage: true });
    assert.deepEqual(await seriousFaults(page), []);
    assert.deepEqual(faults, []);
    await context.close();
  });
}
