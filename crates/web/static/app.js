// @ts-check
// What the pages do beyond plain forms and links. Every page works without it.

import "./live.js";
import { recallFolds, rememberFolds } from "./folds.js";
import "./readout.js";
import { followSearch } from "./search.js";
import { followSaves } from "./save.js";
import { rememberForms } from "./typed.js";
import { followSheet } from "./sheet.js";

/** Tells the server how wide pictures may be, so that the next page is drawn to fit at once. */
function tellWidth() {
  const main = document.querySelector("main");
  if (main) keepCookie("wakewright_width", String(Math.round(main.clientWidth)));
}

/**
 * @param {string} name
 * @param {string} value
 */
function keepCookie(name, value) {
  document.cookie = `${name}=${value}; Max-Age=34560000; SameSite=Strict; Path=/`;
}

/** Changes the colours at once; without a script the form does it with a new page. */
function followThemes() {
  const form = document.querySelector("form.themes");
  form?.addEventListener("submit", (event) => {
    const button = /** @type {SubmitEvent} */ (event).submitter;
    if (!(button instanceof HTMLButtonElement) || button.name !== "theme") return;
    event.preventDefault();
    if (button.value === "device") delete document.documentElement.dataset.theme;
    else document.documentElement.dataset.theme = button.value;
    keepCookie("wakewright_theme", button.value);
    for (const other of form.querySelectorAll("button[name=theme]")) {
      other.setAttribute("aria-pressed", String(other === button));
    }
  });
}

/** Opens the folded part that an address within the page points into. */
function openTarget() {
  const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  for (let part = target?.closest("details"); part; part = part.parentElement?.closest("details")) part.open = true;
  if (target) target.scrollIntoView();
  if (target instanceof HTMLInputElement || target instanceof HTMLSelectElement) target.focus();
}

/** All folded parts are open on paper. */
function openForPrint() {
  for (const part of document.querySelectorAll("details.part, details.fold, details.caution")) part.setAttribute("open", "");
}

tellWidth();
addEventListener("resize", tellWidth);
addEventListener("hashchange", openTarget);
addEventListener("beforeprint", openForPrint);
recallFolds(document);
rememberFolds();
if (location.hash) openTarget();
followThemes();
followSheet();
followSearch();
rememberForms();
if (document.querySelector("[data-later]")) void import("./later.js").then((module) => module.fetchLater());
// The script of a page that few open comes with that page only.
if (document.querySelector("form[data-trial]")) void import("./trial.js");
followSaves();
