// @ts-check
// A second device, another browser, through the address on which the page is shared: let in by the owner, typing
// beside the first, colliding with it, and writing on about a boat that was taken off the list there.
//
// All of it runs in a network of its own, which has nothing but its loopback and a boat's address on that.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { request } from "node:http";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { device, kept, openBrowser, Program, ROOT } from "./harness.mjs";

const ADDRESS = "10.231.77.1";
const HAS_NETWORK = "WAKEWRIGHT_TEST_NETWORK";

if (process.env[HAS_NETWORK] === undefined) {
  const probe = spawnSync("unshare", ["-rn", "sh", "-c", "ip link set lo up"], { encoding: "utf8" });
  const skip = probe.status === 0
    ? false
    : `no network of its own may be made here (unshare -rn, ip): ${(probe.error?.message ?? probe.stderr).trim()}`;
  test("a second device, in a network of its own", { skip }, () => {
    const inside = `ip link set lo up && ip addr add ${ADDRESS}/24 dev lo && exec "$0" --test "$1"`;
    const env = /** @type {NodeJS.ProcessEnv} */ ({ ...process.env, [HAS_NETWORK]: "own" });
    delete env.NODE_TEST_CONTEXT;
    const words = ["-rn", "sh", "-c", inside, process.execPath, fileURLToPath(import.meta.url)];
    const done = spawnSync("unshare", words, { env, encoding: "utf8", timeout: 180_000 });
    assert.equal(done.status, 0, `${done.error ?? ""}${done.stdout}${done.stderr}`);
  });
} else {
  /** @type {Program} */ let program;
  /** @type {import("playwright-core").Browser[]} */ const browsers = [];
  /** @type {Awaited<ReturnType<typeof device>>} */ let owner;
  /** @type {Awaited<ReturnType<typeof device>>} */ let phone;
  const BOAT = "/boats/sea-campion/boat";
  const shared = (/** @type {string} */ path) => `http://${ADDRESS}:${program.port}${path}`;

  before(async () => {
    program = await new Program("--share", "--address", ADDRESS).start();
    browsers.push(await openBrowser(), await openBrowser());
    const [first, second] = browsers;
    if (!first || !second) throw new Error("two browsers");
    owner = await device(first);
    phone = await device(second, { viewport: { width: 360, height: 740 }, hasTouch: true });
    await owner.page.goto(program.url("/"));
    await owner.page.getByRole("button", { name: "invented boat" }).click();
    await owner.page.waitForURL(/drive/);
  });
  after(async () => {
    for (const browser of browsers) await browser.close();
    await program.stop();
  });

  /**
   * A wrong code from another address of the network; the status of the answer.
   * @param {string} from
   */
  function wrongCode(from) {
    return new Promise((resolve, reject) => {
      const body = "code=AAAA-AAAA";
      const headers = {
        Origin: `http://${ADDRESS}:${program.port}`, "Content-Type": "application/x-www-form-urlencoded", "Content-Length": body.length,
      };
      const sent = request({ host: ADDRESS, port: program.port, path: "/enter", method: "POST", localAddress: from, headers }, (answer) => {
        answer.resume();
        resolve(answer.statusCode);
      });
      sent.on("error", reject);
      sent.end(body);
    });
  }

  test("it is let in by the code and the owner's word, however many others guessed", async () => {
    for (let host = 10; host < 17; host += 1) {
      for (let attempt = 0; attempt < 3; attempt += 1) assert.ok([401, 429].includes(/** @type {number} */ (await wrongCode(`10.231.77.${host}`))));
    }
    const code = /([A-Z0-9]{4}-[A-Z0-9]{4})/.exec(program.said.split("enter the code")[1] ?? "")?.[1] ?? "";
    await phone.page.goto(shared(BOAT));
    await phone.page.getByLabel("Code").fill(code.toLowerCase());
    await phone.page.getByRole("button", { name: "Let this device in" }).click();
    await phone.page.getByRole("heading", { name: "Waiting for the owner" }).waitFor();
    const word = await phone.page.locator("main b").last().innerText();
    await owner.page.goto(program.url("/enter"));
    assert.match(await owner.page.locator("main").innerText(), /10\.231\.77\.10: 3/);
    await owner.page.getByRole("button", { name: `Let ${word} in` }).click();
    await phone.page.getByText("Sea Campion").first().waitFor({ timeout: 15_000 });
    assert.equal(await phone.page.locator("h1", { hasText: "Waiting" }).count(), 0);
  });

  test("both type, and each sees that the other does", async () => {
    await owner.page.goto(program.url(BOAT));
    await phone.page.goto(shared(BOAT));
    await owner.page.locator("#hull-draught").fill("1.62 m");
    await kept(owner.page);
    await phone.page.locator("#part-propeller > summary").tap();
    await phone.page.locator("#propeller-pitch").fill("13 in");
    await kept(phone.page);
    await owner.page.reload();
    assert.equal(await owner.page.locator("#hull-draught").inputValue(), "1.62 m");
    assert.match(await owner.page.locator("main").innerText(), /Typed on another device and not kept there yet/);
  });

  test("what both changed is put side by side, and neither is lost", async () => {
    await owner.page.locator("#propeller-pitch").fill("17 in");
    await kept(owner.page);
    await owner.page.getByRole("button", { name: "Keep as revision" }).click();
    await owner.page.getByText(/Kept as revision \d/).waitFor();
    await phone.page.getByRole("button", { name: "Keep as revision" }).click();
    await phone.page.waitForURL(/\/aside\//);
    const pitch = phone.page.getByRole("group", { name: /propeller\.pitch|pitch/i });
    assert.match(await pitch.innerText(), /13 in[\s\S]*17 in/);
    await pitch.getByRole("radio", { name: /yours/ }).check();
    await phone.page.getByRole("button", { name: "Keep as chosen above" }).click();
    await phone.page.getByText("Decided.").waitFor();
    await owner.page.goto(program.url(BOAT));
    assert.equal(await owner.page.locator("#propeller-pitch").inputValue(), "13 in");
    assert.equal(await owner.page.locator("#hull-draught").inputValue(), "1.62 m");
  });

  test("a photograph comes from the phone's camera over the shared address, and is seen at the owner's", async () => {
    await phone.page.goto(shared("/boats/sea-campion/checkup"));
    await phone.page.getByRole("button", { name: "Begin a check-up" }).tap();
    await phone.page.waitForURL(/kept\/checkup\/\d+/);
    const path = new URL(phone.page.url()).pathname;
    const field = phone.page.locator("#photographs-new");
    assert.match((await field.getAttribute("accept")) ?? "", /image/);
    await field.setInputFiles([join(ROOT, "docs", "pictures", "drive.png")]);
    await phone.page.getByRole("button", { name: "Add", exact: true }).tap();
    await phone.page.waitForURL(/#photographs/);
    await owner.page.goto(program.url(path));
    await owner.page.locator("ul.photographs img").first().scrollIntoViewIfNeeded();
    await owner.page.waitForFunction(() => [...document.querySelectorAll("ul.photographs img")].every((image) => /** @type {HTMLImageElement} */ (image).naturalWidth > 100));
  });

  test("what is typed about a boat that was taken off on the other device is kept and can be put back", async () => {
    await phone.page.goto(shared(BOAT));
    if (!(await phone.page.locator("#boat-note").isVisible())) await phone.page.locator("#part-boat > summary").tap();
    await phone.page.locator("#boat-note").fill("begun on the phone");
    await kept(phone.page);
    await owner.page.goto(program.url("/"));
    await owner.page.locator("details", { hasText: "Take her off the list" }).locator("summary").first().click();
    await owner.page.getByRole("button", { name: "Take her off the list" }).click();
    await owner.page.getByRole("button", { name: "Reinstate Sea Campion" }).waitFor();
    await phone.page.locator("#boat-note").fill("begun on the phone, ended after she was taken off");
    await phone.page.locator("#status", { hasText: "taken off the list" }).waitFor();
    await phone.page.getByRole("button", { name: "Keep as revision" }).click();
    await phone.page.getByText("What was typed is kept.").waitFor();
    await phone.page.getByRole("button", { name: "Put her back on the list" }).click();
    await phone.page.waitForURL((url) => !url.pathname.endsWith("/reinstate"));
    await phone.page.goto(shared(BOAT));
    assert.equal(await phone.page.locator("#boat-note").inputValue(), "begun on the phone, ended after she was taken off");
    assert.deepEqual([...owner.faults, ...phone.faults], []);
  });
}
