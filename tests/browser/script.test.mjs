// @ts-check
// The page's script and these tests are typed and linted, without a build step.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { test } from "node:test";
import { ROOT } from "./harness.mjs";

const HERE = join(ROOT, "tests", "browser");

/**
 * @param {string} tool
 * @param {string[]} args
 */
function findsNothing(tool, args) {
  const program = join(HERE, "node_modules", ".bin", tool);
  const done = spawnSync(process.execPath, [program, ...args], { cwd: ROOT, encoding: "utf8" });
  assert.equal(done.status, 0, done.stdout + done.stderr);
}

test("the types are right", () => findsNothing("tsc", ["--noEmit", "--project", join(HERE, "tsconfig.json")]));

test("the linter finds nothing", () => {
  const config = join(HERE, "eslint.config.mjs");
  findsNothing("eslint", ["--config", config, "--max-warnings=0", "crates/web/static", "tests/browser"]);
});
