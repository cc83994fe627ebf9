// @ts-check
// Runs set on the strip of a log by pointer: an edge that is dragged trims a run, a drag across an empty
// stretch adds one. The same is done by keys in the table of runs; nothing here is the only way.

/**
 * @typedef {{ left: number, right: number, top: number, bottom: number, from: number, to: number }} Place
 * @typedef {{ number: number, from: number, to: number }} Run
 * @typedef {(fields: [string, string][]) => void} SetFields
 */

const SVG = "http://www.w3.org/2000/svg";
/** How near a pointer must come to an edge, px of the page. */
const NEAR = { mouse: 8, pen: 14, touch: 20 };
/** A drag shorter than this is none, px. */
const SHORT_PX = 12;

/**
 * @param {HTMLFormElement} form
 * @param {SetFields} set
 */
export function followStrips(form, set) {
  /** @type {Drag | null} */
  let drag = null;
  form.addEventListener("pointerdown", (event) => {
    const picture = event.target instanceof Element ? event.target.closest("svg[data-strip]") : null;
    if (!(picture instanceof SVGSVGElement) || event.button !== 0) return;
    drag = new Drag(form, picture, event);
    picture.setPointerCapture(event.pointerId);
  });
  form.addEventListener("pointermove", (event) => {
    if (drag) drag.move(event);
    else hover(form, event);
  });
  form.addEventListener("pointerup", (event) => {
    drag?.end(event, set);
    drag = null;
  });
  form.addEventListener("pointercancel", () => { drag?.drop(); drag = null; });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || !drag) return;
    drag.drop();
    drag = null;
  });
}

/**
 * Shows where an edge can be taken.
 * @param {HTMLFormElement} form
 * @param {PointerEvent} event
 */
function hover(form, event) {
  const picture = event.target instanceof Element ? event.target.closest("svg[data-strip]") : null;
  if (picture instanceof SVGSVGElement) picture.classList.toggle("is-on-edge", edgeAt(form, picture, event) !== null);
}

class Drag {
  /**
   * @param {HTMLFormElement} form
   * @param {SVGSVGElement} picture
   * @param {PointerEvent} event
   */
  constructor(form, picture, event) {
    this.picture = picture;
    this.place = placeOf(picture);
    this.edge = edgeAt(form, picture, event);
    this.beginPx = event.clientX;
    const time = timeAt(picture, this.place, event.clientX);
    this.fixed = this.edge ? this.edge.other : time;
    this.time = this.edge ? this.edge.time : time;
    this.next = runsOf(form).length;
    this.cover = document.createElementNS(SVG, "rect");
    this.cover.setAttribute("class", "drawn");
    this.cover.setAttribute("pointer-events", "none");
  }

  /** @param {PointerEvent} event */
  move(event) {
    this.time = timeAt(this.picture, this.place, event.clientX);
    if (!this.cover.parentNode) this.picture.append(this.cover);
    const [a, b] = [this.fixed, this.time].sort((x, y) => x - y);
    const px = (/** @type {number} */ time) => this.place.left + ((time - this.place.from) / (this.place.to - this.place.from)) * (this.place.right - this.place.left);
    const [left, right] = [px(a ?? 0), px(b ?? 0)];
    for (const [name, value] of [["x", left], ["width", Math.max(right - left, 1)], ["y", this.place.top], ["height", this.place.bottom - this.place.top]]) {
      this.cover.setAttribute(String(name), String(value));
    }
    const base = baseOf(this.picture);
    say(this.picture, `${this.edge ? `Run from` : "A new run from"} ${clock(a ?? 0, base)} to ${clock(b ?? 0, base)}`);
  }

  drop() {
    this.cover.remove();
    say(this.picture, "");
  }

  /**
   * @param {PointerEvent} event
   * @param {SetFields} set
   */
  end(event, set) {
    const isShort = Math.abs(event.clientX - this.beginPx) < (this.edge ? 3 : SHORT_PX);
    this.drop();
    if (isShort) return;
    const base = baseOf(this.picture);
    const [from, to] = [this.fixed, this.time].sort((x, y) => x - y).map((time) => clock(time, base));
    const number = this.edge ? this.edge.run : this.next;
    set([[`t:marks.${number}.from`, from ?? ""], [`t:marks.${number}.to`, to ?? ""]]);
  }
}

/**
 * @param {SVGSVGElement} picture
 * @returns {Place}
 */
function placeOf(picture) {
  return /** @type {Place} */ (JSON.parse(picture.getAttribute("data-strip") ?? "{}"));
}

/** @param {SVGSVGElement} picture */
function baseOf(picture) {
  return picture.closest("figure")?.dataset.base ?? "elapsed";
}

/**
 * @param {SVGSVGElement} picture
 * @param {Place} place
 * @param {number} clientX
 */
function timeAt(picture, place, clientX) {
  const box = picture.getBoundingClientRect();
  const x = ((clientX - box.left) * picture.viewBox.baseVal.width) / box.width;
  const share = Math.min(Math.max((x - place.left) / (place.right - place.left), 0), 1);
  return Math.round(place.from + share * (place.to - place.from));
}

/**
 * The runs that the table has, on the clock of the log.
 * @param {HTMLFormElement} form
 * @returns {Run[]}
 */
function runsOf(form) {
  /** @type {Run[]} */
  const runs = [];
  for (const row of form.querySelectorAll(".mark-row")) {
    if (!(row instanceof HTMLElement)) continue;
    const [from, to] = [...row.querySelectorAll("input:not([type])")].map((input) => (input instanceof HTMLInputElement ? input.value : ""));
    if (from || to) runs.push({ number: Number(row.dataset.mark), from: seconds(from ?? ""), to: seconds(to ?? "") });
  }
  return runs;
}

/**
 * The edge of a run under the pointer.
 * @param {HTMLFormElement} form
 * @param {SVGSVGElement} picture
 * @param {PointerEvent} event
 */
function edgeAt(form, picture, event) {
  const place = placeOf(picture);
  const time = timeAt(picture, place, event.clientX);
  const pxPerSecond = ((place.right - place.left) / (place.to - place.from)) * (picture.getBoundingClientRect().width / picture.viewBox.baseVal.width);
  const near = NEAR[/** @type {keyof typeof NEAR} */ (event.pointerType)] ?? NEAR.mouse;
  let best = null;
  for (const run of runsOf(form)) {
    for (const [edge, other] of /** @type {[number, number][]} */ ([[run.from, run.to], [run.to, run.from]])) {
      const off = Math.abs(onStrip(edge, place) - time) * pxPerSecond;
      if (off <= near && (!best || off < best.off)) best = { run: run.number, time: onStrip(edge, place), other: onStrip(other, place), off };
    }
  }
  return best;
}

/**
 * A time of day stands on the day of the strip.
 * @param {number} time
 * @param {Place} place
 */
function onStrip(time, place) {
  const day = 86_400;
  return time < day && place.from > day ? time + Math.floor(place.from / day) * day : time;
}

/** Seconds of a time as it stands in the table. @param {string} text */
function seconds(text) {
  const date = /^(\d{4}-\d\d-\d\d)[ T]/.exec(text);
  const time = /(\d{1,2}):(\d\d)(?::(\d\d(?:\.\d+)?))?/.exec(text);
  const ofDay = time ? Number(time[1]) * 3600 + Number(time[2]) * 60 + Number(time[3] ?? 0) : Number.parseFloat(text);
  return date ? Date.parse(`${date[1] ?? ""}T00:00:00Z`) / 1000 + ofDay : ofDay;
}

/**
 * A time of the strip as the table has it.
 * @param {number} time
 * @param {string} base
 */
function clock(time, base) {
  if (base === "elapsed") return `${time} s`;
  const text = new Date(time * 1000).toISOString();
  return base === "utc" ? `${text.slice(0, 10)} ${text.slice(11, 19)}` : text.slice(11, 19);
}

/**
 * @param {SVGSVGElement} picture
 * @param {string} words
 */
function say(picture, words) {
  const place = picture.closest("figure")?.querySelector("[data-strip-text]");
  if (place) place.textContent = words;
}
