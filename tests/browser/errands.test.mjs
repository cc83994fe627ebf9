// @ts-check
// Errands from end to end that no other file does: an empty shop, a boat from nothing by thumb, what is tried kept and compared, wrong
// input of ten kinds, the whole shop put away and back, pictures and units of pages that are no common room; and the list of all.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { device, kept, openBrowser, Program, ROOT } from "./harness.mjs";

const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true };

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
before(async () => {
  program = await new Program().start();
  browser = await openBrowser();
});
after(async () => {
  await browser?.close();
  await program?.stop();
});

/** What people come for, each with the test that does it to its end. */
const ERRANDS = {
  "a boat from nothing on the phone": ["errands", "from nothing to a verdict on a phone"],
  "why slow, and a log to causes, forecast and second trial": ["trials", "two afternoons: why she is slow, a forecast kept and held"],
  "a log to a trial": ["trial-logs", "a log becomes a trial with runs, pairs and points on the band"],
  "try, keep, compare": ["errands", "tried with a thumb, kept beside her, compared"],
  search: ["search", "a candidate becomes an alternative under a name of one's own"],
  "under sail": ["sail", "faster, and something comes back"],
  "a year": ["energy", "a year and a day stand as strips"],
  undo: ["sheet", "keep as a revision, compare, undo, bring back"],
  collision: ["sheet", "two tabs collide and neither loses"],
  "where a figure comes from": ["drive", "a figure opens to its origin with the keyboard"],
  "paper for the owner": ["report", "the file stands alone: no network, print on sheets"],
  "ten wrong inputs": ["errands", "ten wrong inputs stay as typed"],
  "keyboard only": ["looks", "with the keyboard alone"],
  "an empty store": ["errands", "an empty shop says what this is"],
  "a second device": ["second-device", "it is let in by the code and the owner's word"],
};

test("each errand has a test that does it", () => {
  for (const [errand, [file, name]] of Object.entries(ERRANDS)) {
    const text = readFileSync(join(ROOT, "tests", "browser", `${file}.test.mjs`), "utf8");
    assert.ok(text.includes(`test("${name}`), `${errand}: ${file} has no test "${name}"`);
  }
});

test("an empty shop says what this is, and an invented boat's verdict is one tap away", async () => {
  const { page, context, faults } = await device(browser, PHONE);
  await page.goto(program.url("/fleet"));
  assert.match(await page.locator("main").innerText(), /no boat/i);
  await page.goto(program.url("/boats/tern/drive"));
  assert.match(await page.locator("h1").innerText(), /no boat/i);
  await page.goto(program.url("/"));
  assert.match(await page.locator(".lead").innerText(), /how fast and how far.*Everything stays on this computer/s);
  await page.getByRole("button", { name: "invented boat" }).tap();
  assert.match(await page.locator("[data-finding]").innerText(), /At full throttle/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("from nothing to a verdict on a phone: eight answers, sixty keys at most", async () => {
  const { page, context, faults } = await device(browser, PHONE);
  await page.goto(program.url("/new"));
  const fields = page.locator("form .field :is(input, select, textarea):not([name^='mark'])");
  const answers = { "boat-name": "Tern", "hull-length_overall": "9.4", "hull-beam_overall": "3", "hull-draught": "1.6", "hull-displacement": "4.2", "motor-rated_power": "8", "pack-1-capacity": "300 Ah" };
  assert.ok(await fields.locator("visible=true").count() <= 8 * 2, "few questions");
  let keys = 1;
  await page.locator("#hull-kind").selectOption("sailing yacht");
  for (const [id, text] of Object.entries(answers)) {
    await page.locator(`#${id}`).tap();
    await page.keyboard.type(text);
    keys += text.length;
  }
  assert.ok(keys <= 60, `${keys} keys`);
  await page.getByRole("button", { name: "Enter her" }).tap();
  const verdict = page.locator("#verdict:not([aria-busy]) >> text=/kn at full throttle/");
  await verdict.waitFor();
  assert.ok(await page.locator("#verdict").evaluate((foot) => foot.getBoundingClientRect().bottom <= innerHeight));
  await page.goto(program.url("/boats/tern/drive"));
  assert.match(await page.locator("[data-finding]").innerText(), /kn/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("tried with a thumb, kept beside her, compared with her as she is", async () => {
  const { page, context, faults } = await device(browser, PHONE);
  await page.goto(program.url("/boats/sea-campion/drive"));
  const slider = page.locator("[data-slider='propeller.pitch']");
  await slider.getByRole("button", { name: /one less/ }).tap();
  const pitch = (await slider.locator("output").innerText()).trim();
  await page.locator(".workbench:not([aria-busy]) .tried").waitFor();
  await page.getByRole("button", { name: "Keep as an alternative" }).tap();
  await page.waitForURL((url) => url.searchParams.has("kept"));
  assert.match(await page.locator(".notice").first().innerText(), /is kept as an alternative; she herself stays as she is/);
  await page.goto(program.url("/boats/sea-campion/options"));
  const card = page.locator(".laid-card").filter({ hasText: `${pitch} pitch` });
  assert.match((await card.getByRole("row").allInnerTexts()).join("|"), /top speed.*range.*what stops her/s);
  assert.deepEqual(faults, []);
  await context.close();
});

test("ten wrong inputs stay as typed, each says what and what to do in the page's words", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url("/boats/tern/boat"));
  const wrong = {
    "hull-draught": "wet", "hull-displacement": "-4 t", "hull-length_overall": "9.4 kg", "propeller-diameter": "12 m", "propeller-pitch": "12 in 5",
    "motor-rated_power": "eight", "pack-1-capacity": "300 miles", "bank-state_of_charge": "140 %", "reduction-ratio": "0:1", "place-latitude": "95 N",
  };
  const openAll = () => page.evaluate(() => { for (const part of document.querySelectorAll("details")) part.open = true; });
  await openAll();
  for (const [id, text] of Object.entries(wrong)) await page.locator(`#${id}`).fill(text);
  await kept(page);
  await page.reload();
  await openAll();
  for (const [id, text] of Object.entries(wrong)) {
    assert.equal(await page.locator(`#${id}`).inputValue(), text, id);
    const said = await page.locator(`#${id}-note .fault`).first().innerText();
    assert.match(said, /\w.*[.?].*\w/s, `${id}: what, and what to do: ${said}`);
    assert.doesNotMatch(said, /\b[a-z]+\.[a-z_]{3,}\b|\[|\^| = "/, `${id}: ${said}`);
  }
  assert.match(await page.locator("#sentence").innerText(), /things stand between/);
  await page.locator("[name=do][value=discard]").first().click();
  assert.deepEqual(faults, []);
  await context.close();
});

test("the shop is put away as one file and comes back, a boat as an archive", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url("/"));
  await page.getByText("Back up, restore, share").click();
  const file = async (/** @type {import("playwright-core").Locator} */ link) => {
    const [download] = await Promise.all([page.waitForEvent("download"), link.click()]);
    return { name: download.suggestedFilename(), buffer: readFileSync(await download.path()), mimeType: "application/octet-stream" };
  };
  const backup = await file(page.getByRole("link", { name: "Back up all boats" }));
  const tern = page.locator("tr", { hasText: "Tern" });
  await tern.getByText("More").click();
  const archive = await file(tern.getByRole("link", { name: "Archive" }));
  assert.equal(archive.name, "tern.zip");
  await tern.getByRole("button", { name: "Take her off the list" }).click();
  await page.getByText("Bring in a boat").click();
  await page.locator("#import-file").setInputFiles([archive]);
  await page.locator("#import-name").fill("Tern again");
  await page.getByRole("button", { name: "Bring in", exact: true }).click();
  await page.waitForURL(/tern-again/);
  await page.goto(program.url("/"));
  await page.getByText("Back up, restore, share").click();
  const restore = async (/** @type {string | {name: string, mimeType: string, buffer: Buffer}} */ from) => {
    await page.locator("#backup-file").setInputFiles(from);
    await page.locator("[name=sure]").check();
    await page.getByRole("button", { name: "Restore" }).click();
  };
  await restore({ ...backup, buffer: Buffer.from("no backup") });
  assert.match(await page.locator("h1").innerText(), /Nothing was restored/);
  await page.goto(program.url("/"));
  await page.getByText("Back up, restore, share").click();
  await restore(backup);
  assert.match(await page.locator("main").innerText(), /2 in use.*kept in its folder as/s);
  await page.goto(program.url("/boats/tern/drive"));
  assert.match(await page.locator("[data-finding]").innerText(), /Tern/);
  assert.deepEqual(faults, []);
  await context.close();
});

test("units are switched from the page, and every picture is saved with her name", async () => {
  const { page, context, faults } = await device(browser);
  await page.goto(program.url("/boats/sea-campion/drive"));
  await page.getByRole("button", { name: "US", exact: true }).click();
  await page.waitForURL(/drive/);
  assert.equal(await page.getByRole("button", { name: "US", exact: true }).getAttribute("aria-pressed"), "true");
  assert.match(await page.locator("main").innerText(), /lbf ft/);
  await page.goto(program.url("/boats/sea-campion/options"));
  for (const kind of ["svg", "png"]) {
    const [download] = await Promise.all([page.waitForEvent("download"), page.locator(`a.drawn[data-save=${kind}]`).first().click()]);
    assert.match(download.suggestedFilename(), new RegExp(`^sea-campion-options-.*\\.${kind}$`));
    const bytes = readFileSync(await download.path());
    if (kind === "svg") assert.match(bytes.toString(), /^<svg[^>]*xmlns="http:\/\/www.w3.org\/2000\/svg"(?!.*var\(--).*font\/woff2/s);
    else assert.ok(bytes.length > 20_000 && bytes.readUInt32BE(16) > 1500, `${bytes.length} bytes`);
  }
  await page.getByRole("button", { name: "trade", exact: true }).click();
  assert.deepEqual(faults, []);
  await context.close();
});
