// @ts-check
// Sliders that try changes on a result page. Each is a list of choices in a form, which works without a
// script; here it becomes a slider, and a move exchanges the parts of the page that follow it.

import { recallFolds } from "./folds.js";

/** Rest after which the page is computed with all its samples, ms. */
const REST_MS = 500;
/** And after which it is asked again when the program had too much to compute, ms. */
const BUSY_MS = 3000;

const NO_ANSWER = "The program does not answer. What stands here is the last result.";
const BUSY = "More is asked of this computer than it can compute. What stands here is the last result; it is asked again.";

/**
 * The parts of the page by name.
 * @param {ParentNode} within
 */
export function partsOf(within) {
  /** @type {Map<string, HTMLElement>} */
  const parts = new Map();
  for (const part of within.querySelectorAll("[data-live]")) {
    if (part instanceof HTMLElement && part.dataset.live) parts.set(part.dataset.live, part);
  }
  return parts;
}

/**
 * Puts the parts of an answer in the place of those of the page.
 * @param {string} answer
 */
export function exchange(answer) {
  const template = document.createElement("template");
  template.innerHTML = answer;
  const fresh = partsOf(template.content);
  const shown = partsOf(document);
  // An answer without a result says why, and leaves the last good one on view.
  document.querySelector(".workbench")?.classList.toggle("shows-last-good", !fresh.has("cautions"));
  for (const [name, part] of fresh) {
    const old = shown.get(name);
    if (old) put(old, part);
  }
  document.dispatchEvent(new CustomEvent("exchanged"));
}

/** The parts out of sight, which nobody has to compute, send or draw while a slider moves. */
function unseen() {
  return [...partsOf(document)].filter(([, part]) => !isInSight(part)).map(([name]) => name).join(" ");
}

/** @param {HTMLElement} part */
function isInSight(part) {
  const box = part.getBoundingClientRect();
  return box.top < innerHeight && box.bottom > 0;
}

/**
 * Puts what is in `part` into `old`. What had been opened stays open, the focus where it was.
 * @param {HTMLElement} old
 * @param {HTMLElement} part
 */
export function put(old, part) {
  const open = [...old.querySelectorAll("details[open][data-origin]")].map((d) => d.getAttribute("data-origin"));
  const folds = new Map([...old.querySelectorAll("details")].map((d) => [foldName(d), d.open]));
  const scrolled = [...old.querySelectorAll(".scroll")].map((s) => s.scrollLeft);
  const focus = focusWithin(old);
  old.replaceChildren(...part.childNodes);
  recallFolds(old);
  for (const fold of old.querySelectorAll("details.fold, details.caution")) {
    if (fold instanceof HTMLDetailsElement) fold.open = folds.get(foldName(fold)) ?? fold.open;
  }
  for (const key of open) old.querySelector(`details[data-origin="${key}"]`)?.setAttribute("open", "");
  if (scrolled.some((left) => left > 0)) {
    [...old.querySelectorAll(".scroll")].forEach((s, i) => { s.scrollLeft = scrolled[i] ?? 0; });
  }
  if (focus) restoreFocus(old, focus);
}

/** @param {HTMLDetailsElement} fold */
const foldName = (fold) => fold.dataset.fold ?? fold.dataset.caution;

/**
 * What of `part` has the focus, so that it can be found again in its successor.
 * @param {HTMLElement} part
 */
function focusWithin(part) {
  const active = document.activeElement;
  if (!active || !part.contains(active)) return null;
  const origin = active.closest("[data-origin]")?.getAttribute("data-origin");
  if (origin) return `[data-origin="${origin}"] > summary`;
  if (active.id) return `#${active.id}`;
  return active.classList.contains("scroll") ? ".scroll" : null;
}

/**
 * @param {HTMLElement} part
 * @param {string} selector
 */
function restoreFocus(part, selector) {
  const element = part.querySelector(selector);
  if (element instanceof HTMLElement || element instanceof SVGElement) element.focus({ preventScroll: true });
}

/**
 * The sliders of a page and the answers to their moves.
 * @param {HTMLElement} bench
 * @param {HTMLFormElement} form
 */
function attend(bench, form) {
  const from = bench.dataset.liveFrom ?? "";
  const page = bench.dataset.page ?? location.pathname;
  /** @type {AbortController | null} */
  let running = null;
  let isStale = false;
  /** Leaves what takes long. */
  let leave = () => {};
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let rest;

  /** What is tried, as a query. */
  function tried() {
    const query = new URLSearchParams();
    for (const [name, value] of new FormData(form)) if (value) query.append(name, String(value));
    return query;
  }

  /**
   * Exchanges what follows the sliders; gives whether this was the last question.
   * @param {boolean} isQuick
   */
  async function ask(isQuick) {
    running?.abort();
    leave();
    const mine = new AbortController();
    running = mine;
    const query = tried();
    const address = query.size ? `${page}?${query}` : page;
    query.set("width", String(contentsWidth()));
    if (isQuick) { query.set("quick", ""); query.set("unseen", unseen()); }
    try {
      const response = await fetch(`${from}?${query}`, { signal: mine.signal, headers: { accept: "text/html" } });
      if (response.status >= 500) throw new Error(response.status === 503 ? BUSY : NO_ANSWER);
      const answer = await response.text();
      if (mine.signal.aborted) return false;
      if (response.ok) exchange(answer);
      if (!isQuick) lookFurther();
      history.replaceState(null, "", address);
      carryOver(query);
      say("");
      return true;
    } catch (error) {
      if (mine.signal.aborted) return false;
      const isBusy = error instanceof Error && error.message === BUSY;
      say(isBusy ? BUSY : NO_ANSWER);
      if (isBusy) { clearTimeout(rest); rest = setTimeout(() => void settle(), BUSY_MS); }
      return !isBusy;
    } finally {
      if (running === mine) running = null;
      if (isStale && !running) { isStale = false; void ask(true); }
    }
  }

  /** Asks for what takes long, where the page has something of that; the script for it comes with it alone. */
  function lookFurther() {
    if (!document.querySelector("form[data-longer]")) return;
    void import("./longer.js").then((module) => {
      leave = module.leave;
      void module.lookFurther(from, contentsWidth());
    });
  }

  /** Computes with all samples, and says that the page is at rest. */
  async function settle() {
    bench.setAttribute("aria-busy", "true");
    if (!(await ask(false))) return;
    bench.removeAttribute("aria-busy");
    announce();
  }

  /** A move while an answer is on its way is answered next: the last place counts, none is queued. */
  function moved() {
    clearTimeout(rest);
    rest = setTimeout(() => void settle(), REST_MS);
    bench.setAttribute("aria-busy", "true");
    if (running) isStale = true;
    else void ask(true);
  }

  for (const slider of form.querySelectorAll(".slider")) {
    if (slider instanceof HTMLElement) becomeSlider(slider, moved);
  }
  // What is typed is asked once it rests; a quick answer to half a word would only say that it cannot be read.
  form.addEventListener("input", (event) => {
    if (!(event.target instanceof Element) || !event.target.closest(".typed-in")) return;
    clearTimeout(rest);
    rest = setTimeout(() => void settle(), REST_MS);
  });
  form.addEventListener("submit", (event) => { event.preventDefault(); void settle(); });
  bench.classList.add("is-live");
  pinFirst(form);

  document.addEventListener("click", (event) => {
    const back = event.target instanceof Element ? event.target.closest("a[data-back]") : null;
    if (!back) return;
    event.preventDefault();
    for (const slider of form.querySelectorAll(".slider")) backToKept(slider);
    form.querySelector("input")?.focus();
    void settle();
  });

  // A page whose whole computing takes long came with few samples.
  if (bench.hasAttribute("data-settles")) void settle();
  else lookFurther();

  // The first answer was laid out for a width that the device gave earlier, or for none.
  let laidOutFor = shownWidth();
  new ResizeObserver(() => {
    const width = contentsWidth();
    if (Math.abs(width - laidOutFor) < 8) return;
    laidOutFor = width;
    clearTimeout(rest);
    rest = setTimeout(() => void settle(), 60);
  }).observe(bench);
}

/** Width of the page's contents, px. */
function contentsWidth() {
  return Math.round(document.querySelector("main")?.clientWidth ?? 720);
}

/** Width that the page as it came was laid out for, seen from its widest picture. */
function shownWidth() {
  const chart = document.querySelector(".workbench .chart svg");
  const place = chart?.parentElement;
  if (!chart || !place) return 0;
  const off = Math.abs(Number(chart.getAttribute("width")) - place.clientWidth);
  return off < 8 ? contentsWidth() : 0;
}

/**
 * Turns a list of choices into a slider; the list stays and holds the value.
 * @param {HTMLElement} slider
 * @param {() => void} moved
 */
function becomeSlider(slider, moved) {
  const list = slider.querySelector("select");
  const output = slider.querySelector("output");
  const label = slider.querySelector("label");
  if (!list || !output || !label) return;
  const range = document.createElement("input");
  range.type = "range";
  range.min = "0";
  range.max = String(list.options.length - 1);
  range.step = "1";
  range.id = `${list.id}-slide`;
  label.htmlFor = range.id;
  list.hidden = true;
  const track = document.createElement("div");
  track.className = "track";
  list.after(track);
  const kept = Object.assign(document.createElement("span"), { className: "kept" });
  kept.title = `as kept: ${list.options.item(Number(slider.dataset.kept))?.textContent ?? ""}`;
  const way = Object.assign(document.createElement("span"), { className: "way" });
  way.append(range, kept);
  track.append(step(-1), way, step(1));

  /** @param {number} by */
  function step(by) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = by < 0 ? "−" : "+";
    button.tabIndex = -1; // The arrow keys of the slider do the same.
    button.setAttribute("aria-label", `${label?.textContent}, ${by < 0 ? "one less" : "one more"}`);
    button.addEventListener("click", () => {
      show(Math.min(Math.max(Number(range.value) + by, 0), Number(range.max)));
      pin(slider);
      moved();
    });
    return button;
  }

  /** @param {number} place */
  function show(place) {
    if (list) list.selectedIndex = place;
    const words = list?.options.item(place)?.textContent ?? "";
    range.value = String(place);
    range.setAttribute("aria-valuetext", words);
    if (output) output.textContent = words;
    slider.classList.toggle("is-changed", place !== Number(slider.dataset.kept));
  }
  show(list.selectedIndex);
  range.addEventListener("input", () => { show(Number(range.value)); pin(slider); moved(); });
  // Where it stands as kept, so that the way back is seen while it is moved.
  track.style.setProperty("--kept", String(Number(slider.dataset.kept) / Math.max(list.options.length - 1, 1)));
  slider.addEventListener("kept", () => show(Number(slider.dataset.kept)));
}

/** @param {Element} slider */
function backToKept(slider) {
  slider.dispatchEvent(new CustomEvent("kept"));
}

/**
 * On a phone the slider last used stays at the thumb while the chart is looked at: it is pinned to the
 * lower edge when its own place is out of sight, and never moves while it is in sight.
 */
const seen = new IntersectionObserver((entries) => {
  for (const { target, isIntersecting } of entries) {
    target.querySelector(".slider")?.classList.toggle("is-pinned", !isIntersecting);
    document.body.classList.toggle("has-pinned", !isIntersecting);
  }
});

/** @type {Element | null} */
let pinned = null;

/** @param {Element} slider */
function pin(slider) {
  if (slider === pinned) return;
  pinned?.classList.remove("is-pinned");
  seen.disconnect();
  pinned = slider;
  if (slider.parentElement) seen.observe(slider.parentElement);
}

/** What came changed is at the thumb at once. @param {HTMLFormElement} form */
function pinFirst(form) {
  const changed = form.querySelector(".slider.is-changed");
  if (changed) pin(changed);
}

/** Tells those who hear the page what was found, once it has come to rest. */
function announce() {
  const place = document.querySelector("[data-announce]");
  const tried = document.querySelector(".impossible")?.textContent;
  const found = document.querySelector("[data-finding]")?.textContent ?? "";
  if (place) place.textContent = tried ?? found;
}

/**
 * Says that the program does not answer, or takes that back.
 * @param {string} words
 */
function say(words) {
  let note = document.querySelector(".no-answer");
  if (!words) { note?.remove(); return; }
  if (!note) {
    note = document.createElement("p");
    note.className = "caution no-answer";
    note.setAttribute("role", "alert");
    document.querySelector(".workbench")?.before(note);
  }
  note.textContent = words;
}

/**
 * What is tried goes along to the other pages about this boat.
 * @param {URLSearchParams} query
 */
function carryOver(query) {
  const sets = new URLSearchParams(query.getAll("set").map((set) => ["set", set]));
  for (const link of document.querySelectorAll(".pages a")) {
    if (!(link instanceof HTMLAnchorElement) || !/\/(drive|range|sail|energy|options)$/.test(link.pathname)) continue;
    link.search = sets.toString();
  }
}

/** Fills a figure's origin when it is opened. */
function openOrigins() {
  document.addEventListener("toggle", (event) => {
    const details = event.target;
    if (!(details instanceof HTMLDetailsElement) || !details.open || !details.dataset.from) return;
    const place = details.querySelector(".basis");
    const from = details.dataset.from;
    if (!place || place.getAttribute("data-filled") === from) return;
    place.setAttribute("data-filled", from);
    void fetch(`${from}&part=`, { headers: { accept: "text/html" } })
      .then((response) => (response.ok ? response.text() : Promise.reject(new Error(String(response.status)))))
      .then((text) => { place.innerHTML = text; })
      .catch(() => { place.removeAttribute("data-filled"); });
  }, true);
}

const bench = document.querySelector(".workbench");
const form = bench?.querySelector("form[data-sliders]");
if (bench instanceof HTMLElement && form instanceof HTMLFormElement) attend(bench, form);
carryOver(new URLSearchParams(location.search));
openOrigins();
