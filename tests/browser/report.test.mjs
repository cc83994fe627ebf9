// @ts-check
// The page Report and the file that it saves: read, printed, opened without a network. Writes screenshots for people to look at.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { device, screenshotPath, startWithDemo } from "./harness.mjs";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** @type {import("./harness.mjs").Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => {
  ({ program, browser } = await startWithDemo());
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

for (const width of [360, 1280]) {
  test(`the page at ${width} px says who reads, what was found, and what to beware of first`, async () => {
    const { page, context, faults } = await device(browser, { viewport: { width, height: 800 } });
    await page.goto(program.url("/boats/sea-campion/report"));
    if (width < 500) {
      // On a phone chapters are folded under their chief figures; what must not be folded stands before them.
      const height = await page.evaluate(() => document.documentElement.scrollHeight);
      assert.ok(height <= 4 * 740, `${height} px`);
      assert.match(await page.locator("#drive > details > summary").innerText(), /Drive\s+[\d.]+ kn at \d+ rpm/);
      for (const chief of await page.locator("article.report .fold > summary .chief").allInnerTexts()) assert.match(chief, /\S/);
      const short = await page.locator(".short").innerText();
      assert.match(short, /would give.*Above 60 V.*When the protection opens/s);
      await page.evaluate(() => { for (const fold of document.querySelectorAll("article details")) /** @type {HTMLDetailsElement} */ (fold).open = true; });
    }
    const text = await page.locator("article.report").innerText();
    assert.match(text, /for her owner/);
    assert.doesNotMatch(text, /\[[a-z]+[\d-]+, /, "sources in words");
    const [caution, drive] = [text.indexOf("No certificate, no survey"), text.indexOf("What the drive can reach")];
    assert.ok(caution > 0 && drive > caution, "the caution stands before the first room");
    assert.match(text, /Invented\./);
    const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    assert.ok(overflow <= 0, `${overflow} px too wide`);
    await page.evaluate(axe);
    const found = await page.evaluate(async () => {
      // @ts-expect-error axe is put into the page above.
      const { violations } = await axe.run({ resultTypes: ["violations"] });
      return violations.map((/** @type {any} */ v) => `${v.id}: ${v.nodes.map((/** @type {any} */ n) => n.html).join(" ").slice(0, 300)}`);
    });
    assert.deepEqual(found, []);
    await page.screenshot({ path: screenshotPath(`report-${width}`), fullPage: true });
    await page.getByRole("link", { name: "For her surveyor" }).click();
    await page.locator("#document").waitFor();
    if (width < 500) assert.equal(await page.locator("#document pre").isVisible(), false);
    assert.match(await page.locator("article.report").innerText(), /for her surveyor/);
    assert.deepEqual(faults, []);
    await context.close();
  });
}

test("the page Offer lists parts, sums what is typed to the cent, and fits a phone", async () => {
  const { page, context, faults } = await device(browser, { acceptDownloads: true, hasTouch: true, viewport: { width: 360, height: 740 } });
  await page.goto(program.url("/boats/sea-campion/quote"));
  const says = (/** @type {RegExp} */ words) => page.locator("[data-finding]").filter({ hasText: words }).waitFor();
  await says(/no price is typed/);
  await page.getByLabel("Prices, a line each").fill("main cable=11.40 EUR, 2026-11-20, 1.5 h\nmotor=2,150 GBP, 2026-11-20");
  await page.getByLabel("An hour of work").fill("55.10 EUR");
  // 2.4 m at 11.40 and an hour and a half at 55.10.
  await says(/2,150\.00 GBP and 110\.01 EUR/);
  const waits = page.waitForEvent("download");
  await page.getByRole("link", { name: "Save as a file" }).click();
  const file = join(program.folder, "offer.html");
  await (await waits).saveAs(file);
  assert.match(readFileSync(file, "utf8"), /2,150\.00 GBP and 110\.01 EUR/, "the file has what is typed");
  assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), 360);
  // Alternatives stand side by side, on the phone as well: all columns within the window, letters of a size to be read.
  const beside = page.locator("details.fold", { hasText: "what each gives and how sure" }).last();
  if (!(await beside.locator("table").isVisible())) await beside.locator("summary").tap();
  const heads = beside.locator("thead th");
  assert.deepEqual((await heads.allInnerTexts()).map((head) => head.trim()).filter(Boolean), ["as she is", "3:1 pulleys", "re-pitch to 13 in", "320 A controller"]);
  const rows = await beside.locator("tbody tr").evaluateAll((all) => all.map((row) => new Set([...row.querySelectorAll("td")].map((cell) => cell.offsetTop)).size));
  assert.ok(rows.length > 9 && rows.every((tops) => tops === 1), `cells of a row stand at ${rows} heights`);
  const right = await heads.evaluateAll((all) => Math.max(...all.map((one) => one.getBoundingClientRect().right)));
  assert.ok(right <= 360, `the last alternative ends at ${right} px`);
  assert.ok((await beside.locator("td").first().evaluate((cell) => parseFloat(getComputedStyle(cell).fontSize))) >= 12);
  await beside.screenshot({ path: screenshotPath("offer-beside-360") });
  await page.screenshot({ path: screenshotPath("offer-360"), fullPage: true });
  assert.deepEqual(faults, []);
  await context.close();
});

test("the file stands alone: no network, print on sheets with fingerprint and number", async () => {
  const { page, context, faults } = await device(browser, { acceptDownloads: true });
  await page.goto(program.url("/boats/sea-campion/report?for=fitter"));
  const waits = page.waitForEvent("download");
  await page.getByRole("link", { name: "Save as a file" }).click();
  const file = join(program.folder, "report.html");
  await (await waits).saveAs(file);
  const html = readFileSync(file, "utf8");
  assert.doesNotMatch(html, /<(?:link|script|img|iframe)\b/i, "nothing is fetched and nothing runs");
  assert.deepEqual([...html.matchAll(/(?:src|href)="?([^"\s>)]+)/g)].map((m) => m[1] ?? "").filter((to) => /^(?:https?:|\/)/.test(to)), []);
  await context.setOffline(true);
  await page.goto(pathToFileURL(file).href);
  assert.match(await page.locator("h1").innerText(), /Sea Campion/);
  const pdf = await page.pdf({ preferCSSPageSize: true });
  writeFileSync(screenshotPath("report-fitter").replace(/png$/, "pdf"), pdf);
  assert.ok((pdf.toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length > 10);
  assert.deepEqual(faults.filter((fault) => !/asked for file:/.test(fault)), []);
  await context.close();
});

test("an offer prints on sheets with its alternatives side by side, and Save as PDF gives a tagged one", async () => {
  const { page, context, faults } = await device(browser, { acceptDownloads: true, viewport: { width: 1280, height: 800 } });
  await page.goto(program.url("/boats/sea-campion/quote"));
  await page.getByLabel("Hours under way in a year").fill("120");
  await page.getByText(/A year of 120 h/).first().waitFor();
  await page.emulateMedia({ media: "print" });
  assert.equal(await page.locator("button:visible").count(), 0);
  await page.screenshot({ path: screenshotPath("offer-print"), fullPage: true });
  await page.emulateMedia({ media: "screen" });
  for (const name of ["offer", "report"]) {
    if (name === "report") await page.goto(program.url("/boats/sea-campion/report?for=owner"));
    const waits = page.waitForEvent("download");
    await page.getByRole("link", { name: "Save as PDF" }).click();
    const download = await waits;
    assert.match(download.suggestedFilename(), /\.pdf$/);
    const file = join(program.folder, `${name}.pdf`);
    await download.saveAs(file);
    const pdf = readFileSync(file).toString("latin1");
    assert.match(pdf, /^%PDF-1\.7/);
    assert.match(pdf, /\/StructTreeRoot/);
    const said = execFileSync("pdftotext", ["-layout", file, "-"], { encoding: "utf8" });
    assert.match(said, /No certificate/);
    if (name === "offer") assert.match(said.replaceAll(/\s+/g, " "), /A year of 120 h.*as she is.{1,60}3:1 pulleys/);
    writeFileSync(screenshotPath(`${name}-saved`).replace(/png$/, "pdf"), readFileSync(file));
  }
  assert.deepEqual(faults, []);
  await context.close();
});
