// @ts-check
// The survey sheet as a fitter uses it: from nothing, with mistakes, in two places at once, and with
// the program killed under his hands.

import assert from "node:assert/strict";
import { after, before, beforeEach, test } from "node:test";
import { Program, device, kept, openBrowser } from "./harness.mjs";

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("playwright-core").Page} */ let page;
/** @type {string[]} */ let faults;

before(async () => {
  program = await new Program().start();
  browser = await openBrowser();
});
after(async () => {
  await browser?.close();
  await program?.stop();
});
beforeEach(async () => {
  ({ page, faults } = await device(browser));
});

let count = 0;
/** Enters the invented boat under a name of her own; gives the address of her sheet. */
async function newBoat() {
  count += 1;
  const name = `Tern ${count}`;
  await page.goto(program.url("/"));
  await page.getByRole("button", { name: "invented boat" }).click();
  await page.goto(program.url("/"));
  const row = page.getByRole("row", { name: /Sea Campion/ });
  await row.locator("summary").click();
  await row.getByLabel("Copy under the name").fill(name);
  await row.getByRole("button", { name: "Copy" }).click();
  await page.waitForURL(/\/boats\/tern-/);
  return `/boats/tern-${count}`;
}

test("a boat is made from nothing", async () => {
  await page.goto(program.url("/"));
  await page.getByRole("link", { name: "Describe a new boat" }).click();
  await page.getByRole("button", { name: "Enter her" }).click();
  assert.match(await page.getByRole("alert").innerText(), /needs a name/);
  await page.getByRole("textbox", { name: "name", exact: false }).first().fill("Étoile <b>&amp;");
  await page.locator("#hull-draught").fill("wet");
  await page.locator("#hull-kind").selectOption("sailing yacht");
  await page.getByRole("button", { name: "Enter her" }).click();
  await page.waitForURL(/\/boats\/.+\/boat/);
  assert.match(await page.locator("#sentence").innerText(), /Étoile <b>&amp;/);
  assert.equal(await page.locator("#hull-draught").inputValue(), "wet", "kept as typed");
  assert.equal(await page.locator("#hull-draught").getAttribute("aria-invalid"), "true");
  const answers = {
    length_overall: "11.2 m", length_waterline: "31 ft 2 in", beam_waterline: "3.1 m", draught: "1.8 m", displacement: "7.4 t",
  };
  await page.locator("#part-hull .more-fields > summary").click();
  for (const [name, text] of Object.entries(answers)) await page.locator(`#hull-${name}`).fill(text);
  await page.locator("#hull-keel").selectOption("fin");
  await page.locator("#hull-rudder").selectOption("spade");
  await kept(page);
  assert.match(await page.locator("#hull-length_waterline-note").innerText(), /= 9\.50 m/);
  assert.equal(await page.locator("#picture svg").count(), 1, "her profile is drawn");
  assert.deepEqual(faults, []);
});

test("wrong input is kept and explained, the last good drawing stays", async () => {
  await page.goto(program.url(`${await newBoat()}/boat`));
  await page.locator("#hull-draught").fill("one and a half");
  await page.locator("#hull-draught-note .fault").waitFor();
  assert.equal(await page.locator("#hull-draught").inputValue(), "one and a half");
  assert.match(await page.locator("#hull-draught-note").innerText(), /does not begin with a number/);
  assert.match(await page.locator("#findings").innerText(), /Hull: draught/);
  assert.equal(await page.locator("#picture svg").count(), 1);
  assert.match(await page.locator("#picture").innerText(), /last good/);
  await page.reload();
  assert.equal(await page.locator("#hull-draught").inputValue(), "one and a half");
  assert.match(await page.locator("#picture").innerText(), /last good/);
  await page.locator("#hull-draught").fill("5 ft 7 in");
  await page.locator("#hull-draught-note", { hasText: "= 1.70 m" }).waitFor();
  assert.equal(await page.locator("#hull-draught").getAttribute("aria-invalid"), null);
  assert.doesNotMatch(await page.locator("#picture").innerText(), /last good/);
  assert.deepEqual(faults, []);
});

test("the mark is switched and the drawing follows the numbers", async () => {
  await page.goto(program.url(`${await newBoat()}/boat`));
  const before = await page.locator("#picture").innerHTML();
  await page.locator("#hull-draught").fill("1.9 m");
  await page.getByLabel("draught: where it is from", { exact: true }).selectOption("assumed");
  await kept(page);
  assert.notEqual(await page.locator("#picture").innerHTML(), before);
  await page.getByRole("link", { name: "As text" }).click();
  assert.match(await page.locator("#text").inputValue(), /draught = "1.9 m, assumed"/);
  assert.match(await page.locator("#text").inputValue(), /# lorry scale at the slip/, "remarks stay");
});

test("what is typed is understood where one reading is possible, and said back", async () => {
  await page.goto(program.url(`${await newBoat()}/boat`));
  await page.locator("#propeller-diameter").fill("14x10");
  await page.locator("#boat-surveyed").fill("30.4.2025");
  await page.locator("#hull-draught").fill("1.9");
  await page.getByLabel("draught: where it is from", { exact: true }).selectOption("plate");
  await kept(page);
  assert.match(await page.locator("#propeller-diameter-note").innerText(), /356 mm/);
  await page.locator("#keep-note").focus();
  await page.getByRole("link", { name: "As text" }).click();
  const text = await page.locator("#text").inputValue();
  for (const line of [/diameter = "14 in"/, /pitch = "10 in"/, /surveyed = 2025-04-30/, /draught = "1.9 m, plate"/]) assert.match(text, line);
  await page.goto(program.url(`${await newBoat()}/boat`));
  await page.locator("#boat-surveyed").fill("5/4/2025");
  await page.locator("#boat-surveyed-note", { hasText: "2025-04-05 or 2025-05-04" }).waitFor();
});

test("keep as a revision, compare, undo, bring back", async () => {
  const boat = await newBoat();
  await page.goto(program.url(`${boat}/boat`));
  await page.locator("#propeller-pitch").fill("13 in");
  await page.locator("#keep-note").fill("pitch at the shop");
  await page.getByRole("button", { name: "Keep as revision" }).click();
  await page.getByText(/Kept as revision \d/).waitFor();
  assert.match(await page.locator("#status").innerText(), /Revision 2/);
  await page.getByRole("link", { name: "Revisions" }).click();
  assert.match(await page.locator("table").innerText(), /pitch at the shop/);
  await page.getByRole("button", { name: "Compare the two" }).click();
  assert.match(await page.locator("h1").innerText(), /One field differs between revision 1 and revision 2/);
  assert.match(await page.locator("table").first().innerText(), /15 in[\s\S]*13 in/);
  await page.goto(program.url(`${boat}/history`));
  await page.getByRole("button", { name: "Undo the last revision" }).click();
  assert.equal(await page.locator("#propeller-pitch").inputValue(), "15 in");
  await page.goto(program.url(`${boat}/history`));
  assert.equal(await page.locator("tbody tr").count(), 3, "undoing adds");
  await page.getByRole("button", { name: "Bring back revision 2" }).click();
  assert.equal(await page.locator("#propeller-pitch").inputValue(), "13 in");
});

test("two tabs collide and neither loses", async () => {
  const boat = await newBoat();
  await page.goto(program.url(`${boat}/boat`));
  const other = await page.context().newPage();
  await other.goto(program.url(`${boat}/boat`));
  await page.locator("#propeller-pitch").fill("13 in");
  await kept(page);
  await other.locator("#propeller-pitch").fill("17 in");
  await other.locator("#hull-draught").fill("1.8 m");
  await kept(other);
  await page.reload();
  assert.equal(await page.locator("#propeller-pitch").inputValue(), "13 in", "each tab has its own draft");
  await page.getByRole("button", { name: "Keep as revision" }).click();
  await page.getByText(/Kept as revision \d/).waitFor();
  assert.equal(await page.locator("#propeller-pitch").inputValue(), "13 in");
  assert.match(await page.locator("main").innerText(), /Another page on this device has typed/);
  await other.getByRole("button", { name: "Keep as revision" }).click();
  await other.waitForURL(/\/aside\//);
  assert.match(await other.locator("h1").innerText(), /differ in 2 fields/);
  const pitch = other.getByRole("group", { name: /Propeller and shaft: pitch/ });
  assert.match(await pitch.innerText(), /17 in[\s\S]*13 in[\s\S]*before: 15 in; changed by both/);
  assert.ok(await other.getByRole("group", { name: /Hull: draught/ }).getByRole("radio").first().isChecked());
  await pitch.getByRole("radio", { name: /revision/ }).check();
  await other.getByRole("button", { name: "Keep as chosen above" }).click();
  await other.getByText("Decided.").waitFor();
  assert.equal(await other.locator("#propeller-pitch").inputValue(), "13 in");
  assert.equal(await other.locator("#hull-draught").inputValue(), "1.8 m");
  await other.goto(program.url(`${boat}/history`));
  assert.match(await other.locator("main").innerText(), /Kept aside[\s\S]*decided/);
});

test("killed in mid-typing, everything up to the last second is there", async () => {
  const boat = await newBoat();
  await page.goto(program.url(`${boat}/boat`));
  await page.locator("#propeller-pitch").pressSequentially("", { delay: 0 });
  await page.locator("#propeller-pitch").fill("");
  await page.locator("#propeller-pitch").pressSequentially("13 1/2 in", { delay: 60 });
  await page.locator("#boat-note").fill("haul-out on Friday");
  await page.waitForTimeout(900);
  await program.kill();
  await page.locator("#hull-draught").fill("1.55 m");
  await page.locator("#status", { hasText: "does not answer" }).waitFor();
  assert.match(await page.locator("#status").innerText(), /still here/);
  await program.start();
  // A page opened anew, as after a restart of the computer, finds what was acknowledged.
  const anew = await page.context().newPage();
  await anew.goto(program.url(`${boat}/boat`));
  assert.match(await anew.locator(".restored").innerText(), /is here as it was/);
  assert.equal(await anew.locator("#propeller-pitch").inputValue(), "13 1/2 in");
  assert.equal(await anew.locator("#boat-note").inputValue(), "haul-out on Friday");
  // The page that was left open sends the rest by itself.
  await page.locator("#status", { hasText: /^Draft kept/ }).waitFor();
  await page.reload();
  assert.equal(await page.locator("#hull-draught").inputValue(), "1.55 m");
  assert.equal(await page.locator("#propeller-pitch").inputValue(), "13 1/2 in");
});

test("leaving the page in mid-word keeps the word", async () => {
  const boat = await newBoat();
  await page.goto(program.url(`${boat}/boat`));
  await page.locator("#boat-note").fill("left in a hur");
  await page.goto(program.url("/"));
  await page.waitForTimeout(200);
  await page.goto(program.url(`${boat}/boat`));
  assert.equal(await page.locator("#boat-note").inputValue(), "left in a hur");
  await page.getByText("Throw it away").click();
  await page.getByRole("button", { name: "Throw away what was typed" }).click();
  assert.doesNotMatch(await page.locator("#boat-note").inputValue(), /hur/);
});

test("packs are added, typed and taken out", async () => {
  const boat = await newBoat();
  await page.goto(program.url(`${boat}/boat`));
  const packs = page.locator("#part-pack");
  await packs.getByRole("button", { name: "Add another" }).click();
  await page.locator("#pack-2-chemistry").selectOption("LFP");
  await page.locator("#pack-2-capacity").fill("105 Ah");
  await kept(page);
  // What the second pack lacks is taken from the first, so that it is no fault.
  assert.doesNotMatch(await packs.locator("> summary").innerText(), /fault/);
  await packs.getByRole("button", { name: "Take out number 2" }).click();
  await page.locator("#pack-2-capacity").waitFor({ state: "detached" });
});

test("a megabyte pasted into the text is kept, not read, and not lost", async () => {
  const boat = await newBoat();
  await page.goto(program.url(`${boat}/text`));
  const long = "# nonsense nonsense nonsense\n".repeat(36_000);
  // As pasting does; typing it through the driver would take minutes.
  await page.locator("#text").evaluate((area, pasted) => {
    /** @type {HTMLTextAreaElement} */ (area).value = pasted;
    area.dispatchEvent(new InputEvent("input", { bubbles: true }));
  }, long);
  await page.locator("#findings", { hasText: "not that long" }).waitFor();
  await page.reload();
  assert.equal((await page.locator("#text").inputValue()).length, long.length);
  assert.deepEqual(faults, []);
});

test("text that is no document is kept and shown as text", async () => {
  const boat = await newBoat();
  await page.goto(program.url(`${boat}/text`));
  await page.locator("#text").fill("\n[hull\n<script>alert(1)</script> =\n");
  await kept(page);
  await page.goto(program.url(`${boat}/boat`));
  assert.match(await page.content(), /&lt;script&gt;/);
  assert.deepEqual(faults, []);
});

test("documents come in as files and pasted, and go out as they came", async () => {
  const text = "# odd\n[boat]\nname = \"Río Ñandú\"\n[hull]\ndraught = \"deep\"\n";
  await page.goto(program.url("/"));
  await page.getByText("Bring in a boat").click();
  await page.locator("#import-file").setInputFiles({ name: "rio.toml", mimeType: "text/plain", buffer: Buffer.from(text) });
  await page.getByRole("button", { name: "Bring in" }).click();
  assert.match(await page.locator("#sentence").innerText(), /Río Ñandú/);
  const got = await page.request.get(program.url("/boats/r%C3%ADo-%C3%B1and%C3%BA/document.toml"));
  assert.equal(await got.text(), text);
  await page.goto(program.url("/"));
  await page.getByText("Bring in a boat").click();
  await page.locator("#import-text").fill(text);
  await page.getByRole("button", { name: "Bring in" }).click();
  assert.match(await page.getByRole("alert").innerText(), /already a boat/);
  assert.equal(await page.locator("#import-text").inputValue(), text, "kept as pasted");
  await page.getByLabel("add it to that boat").check();
  await page.getByRole("button", { name: "Bring in" }).click();
  await page.waitForURL(/boats/);
});

test("taken off the list and reinstated", async () => {
  const boat = await newBoat();
  await page.goto(program.url("/"));
  const row = page.getByRole("row", { name: new RegExp(`Tern ${count}`) });
  await row.locator("summary").click();
  await row.getByRole("button", { name: "Take her off the list" }).click();
  // She is no longer there, and the page says what became of her.
  assert.equal((await page.goto(program.url(`${boat}/boat`)))?.status(), 409);
  assert.match(await page.locator("main").innerText(), /taken off/);
  await page.goto(program.url("/"));
  await page.getByRole("button", { name: `Reinstate Tern ${count}` }).click();
  assert.equal((await page.goto(program.url(`${boat}/boat`)))?.status(), 200);
});
