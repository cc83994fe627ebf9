// @ts-check
// The program says where it is once it answers, and after a crash it answers at the same place with what was kept.
// How long that takes is measured by scripts/page-speed.mjs.

import assert from "node:assert/strict";
import { test } from "node:test";
import { Program } from "./harness.mjs";

test("it answers as soon as it has said where, and again after a crash", async (t) => {
  const program = new Program();
  t.after(() => program.stop());
  await program.start();
  const port = program.port;
  const made = await fetch(program.url("/demo"), { method: "POST", headers: { Origin: program.url("").replace(/\/$/, "") }, redirect: "manual" });
  assert.equal(made.status, 303);
  for (let i = 0; i < 3; i += 1) {
    await program.kill();
    await program.start();
    assert.equal(program.port, port);
    const page = await fetch(program.url("/"));
    assert.equal(page.status, 200);
    assert.match(await page.text(), /Sea Campion/);
  }
});
