// @ts-check
// Run from the root of the repository, so that the page's script is within reach.
import js from "@eslint/js";
import globals from "globals";

export default [
  { ...js.configs.recommended, files: ["crates/web/static/*.js", "tests/browser/*.mjs"] },
  { files: ["crates/web/static/*.js"], languageOptions: { globals: globals.browser } },
  { files: ["tests/browser/*.mjs"], languageOptions: { globals: { ...globals.node, ...globals.browser } } },
  { rules: { eqeqeq: "error", "no-var": "error", "prefer-const": "error", "no-implied-eval": "error" } },
];
