// @ts-check
// The pocket sheet as a phone has it: a file, no network, 360 px; with and without scripts and storage.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { after, before, test } from "node:test";
import { ROOT, device, openBrowser, screenshotPath } from "./harness.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const PROGRAM = process.env.WAKEWRIGHT_PROGRAM ?? join(ROOT, "target", "release", "wakewright");
const example = (/** @type {string} */ name) => join(ROOT, "examples", name);

/** @type {string} */ let folder;
/** @type {string} */ let address;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => {
  folder = mkdtempSync(join(tmpdir(), "wakewright-pocket-"));
  const file = join(folder, "pocket.html");
  execFileSync(PROGRAM, [
    "pocket", example("sea_campion.toml"), "--place", "Renn Sound", "--table", example("renn_sound_waters.txt"),
    "--ground", "2.20 m ± 0.10 m", "--day", "2026-09-20", "--zone", "UTC", "--out", file,
  ]);
  assert.ok(existsSync(file) && statSync(file).size < 500_000, `${statSync(file).size} bytes`);
  address = pathToFileURL(file).href;
  browser = await openBrowser();
});
after(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true, force: true });
});

/** @param {import("playwright-core").BrowserContextOptions} [more] */
async function phone(more = {}) {
  const found = await device(browser, { viewport: { width: 360, height: 740 }, hasTouch: true, offline: true, acceptDownloads: true, ...more });
  const faults = () => found.faults.filter((fault) => !/asked for file:/.test(fault));
  return { ...found, faults };
}

test("without a network everything reads, at 360 px, and nothing is asked for", async () => {
  const { page, context, faults } = await phone();
  await page.goto(address);
  const text = await page.locator("main").innerText();
  for (const words of ["Emergency", "How far", "Way home", "One pack lost", "Cables and fuses", "Drying out", "Invented.", "Not for navigation", "2026-10-18"])
    assert.ok(text.includes(words), words);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  assert.ok(wide <= 0, `${wide} px too wide`);
  await page.evaluate(axe);
  const found = await page.evaluate(async () => {
    // @ts-expect-error axe is put into the page above.
    const { violations } = await axe.run({ resultTypes: ["violations"] });
    return violations.map((/** @type {any} */ v) => `${v.id}: ${v.nodes.map((/** @type {any} */ n) => n.html).join(" ").slice(0, 300)}`);
  });
  assert.deepEqual(found, []);
  await page.screenshot({ path: screenshotPath("pocket-360"), fullPage: true });
  assert.deepEqual(faults(), []);
  await context.close();
});

test("a form is kept, comes back, and leaves as a file that can be read", async () => {
  const { page, context, faults } = await phone();
  await page.goto(address);
  const note = 'gland "watch" 14 drops\n\u00e9 \\ end';
  await page.locator("#checkup-note").fill(note);
  await page.reload();
  assert.equal(await page.locator("#checkup-note").inputValue(), note);
  assert.match(await page.locator("[data-form=checkup] .kept").innerText(), /Kept in this phone/);
  const waits = page.waitForEvent("download");
  await page.locator("[data-form=checkup] [data-save]").click();
  const download = await waits;
  assert.match(download.suggestedFilename(), /^checkup-\d{4}-\d\d-\d\d\.toml$/);
  const file = join(folder, "form.toml");
  await download.saveAs(file);
  const saved = readFileSync(file, "utf8");
  assert.ok(saved.includes(`note = ${JSON.stringify(note)}`), saved);
  assert.ok(saved.includes('boat = "Sea Campion"'), saved);
  // It comes into the store once, however often it is brought.
  const env = { ...process.env, WAKEWRIGHT_DATA: join(folder, "data") };
  const run = (/** @type {string[]} */ ...words) => execFileSync(PROGRAM, words, { env, encoding: "utf8" });
  run("import", example("sea_campion.toml"));
  assert.match(run("import", file), /Sea Campion: check-up 1, from/);
  assert.match(run("import", file), /check-up 1, which was there already/);
  assert.ok(run("checkup", "show", "Sea Campion", "1").includes("14 drops"));
  page.on("dialog", (dialog) => dialog.accept());
  await page.locator("[data-form=checkup] [data-empty]").click();
  await page.reload();
  assert.equal(await page.locator("#checkup-note").inputValue(), "");
  assert.deepEqual(faults(), []);
  await context.close();
});

test("where the phone keeps nothing, that is said and the form leaves as a file all the same", async () => {
  const { page, context, faults } = await phone();
  await page.addInitScript(() => {
    Object.defineProperty(window, "localStorage", { get: () => { throw new Error("denied"); } });
  });
  await page.goto(address);
  assert.match(await page.locator("[data-form=call] .kept").innerText(), /keeps nothing/);
  await page.locator("#call-happens").fill("does not turn");
  const waits = page.waitForEvent("download");
  await page.locator("[data-form=call] [data-save]").click();
  await waits;
  assert.deepEqual(faults(), []);
  await context.close();
});

test("without scripts every figure reads the same", async () => {
  const { page, context } = await phone({ javaScriptEnabled: false });
  await page.goto(address);
  const rows = await page.locator("#home tr[data-case]").allInnerTexts();
  assert.equal(rows.length, 12);
  assert.ok(rows.every((row) => /\d/.test(row)));
  assert.match(await page.locator("[data-form=checkup] .kept").innerText(), /Without scripts/);
  assert.equal(await page.locator("[data-save]:visible").count(), 0);
  await context.close();
});

test("tides that are past are grey, those to come are not", async () => {
  const { page, context } = await phone();
  await page.clock.setFixedTime(new Date("2026-10-05T12:00:00Z"));
  await page.goto(address);
  const past = await page.locator("#dryout tr[data-until].past").count();
  const all = await page.locator("#dryout tr[data-until]").count();
  assert.ok(past > 5 && all > past + 5, `${past} of ${all}`);
  assert.equal(await page.locator("#dryout .until.past").count(), 0);
  await context.close();
});
