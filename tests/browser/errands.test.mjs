// @ts-check
// Errands from end to end that no other file does: an empty shop, a boat from nothing by thumb, wrong input of ten kinds, the whole
// shop put away and back, pictures and units of pages that are no common room. (Why slow, try and keep, search, sail, a year, a log
// to its causes and the next trial, undo and collision, origins, paper, keyboard, a second device stand in the files of their names.)

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test } from "node:test";
import { device, kept, openBrowser, Program } from "./harness.mjs";

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
