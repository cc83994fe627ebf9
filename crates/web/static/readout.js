// @ts-check
// Values read off a picture by pointer, touch or arrow keys, from its data-readout attribute.

/**
 * @typedef {{ label: string, tone: string, points: [number, number, string, string][] }} Series
 * @typedef {{ area: [number, number, number, number], x: { title: string }, series: Series[] }} Readout
 */

const SVG = "http://www.w3.org/2000/svg";

/** Where each picture is read, by its id, so that an exchanged picture is read at the same place. @type {Map<string, number>} */
const places = new Map();

/**
 * @param {EventTarget | null} target
 * @returns {SVGSVGElement | null}
 */
function pictureOf(target) {
  const picture = target instanceof Element ? target.closest("svg[data-readout]") : null;
  return picture instanceof SVGSVGElement ? picture : null;
}

/** @type {WeakMap<SVGSVGElement, Readout>} */
const known = new WeakMap();

/**
 * @param {SVGSVGElement} picture
 * @returns {Readout}
 */
function readoutOf(picture) {
  let readout = known.get(picture);
  if (!readout) {
    readout = /** @type {Readout} */ (JSON.parse(picture.getAttribute("data-readout") ?? "{}"));
    known.set(picture, readout);
  }
  return readout;
}

/**
 * The point of a series nearest to `x`, unless the series ends short of it.
 * @param {Series} series
 * @param {number} x
 */
function nearest(series, x) {
  let best = null;
  for (const point of series.points) {
    if (!best || Math.abs(point[0] - x) < Math.abs(best[0] - x)) best = point;
  }
  return best && Math.abs(best[0] - x) < 24 ? best : null;
}

/** The line that the keys walk along: the one with most points. @param {Readout} readout */
function subject(readout) {
  return readout.series.reduce((a, b) => (b.points.length > a.points.length ? b : a));
}

/**
 * Reads the picture at `x` of its own coordinates.
 * @param {SVGSVGElement} picture
 * @param {number} x
 */
function read(picture, x) {
  const readout = readoutOf(picture);
  const [left, top, right, bottom] = readout.area;
  const at = Math.min(Math.max(x, left), right);
  places.set(picture.id, at);
  const found = readout.series.flatMap((series) => {
    const point = nearest(series, at);
    return point ? [{ series, point }] : [];
  });
  if (found.length === 0) return;
  const cursor = fresh(picture);
  const line = document.createElementNS(SVG, "line");
  for (const [name, value] of [["x1", at], ["x2", at], ["y1", top], ["y2", bottom]]) line.setAttribute(String(name), String(value));
  cursor.append(line);
  for (const { point } of found) {
    const circle = document.createElementNS(SVG, "circle");
    for (const [name, value] of [["cx", point[0]], ["cy", point[1]], ["r", 3.5]]) circle.setAttribute(String(name), String(value));
    cursor.append(circle);
  }
  const closest = found.reduce((a, b) => (Math.abs(b.point[0] - at) < Math.abs(a.point[0] - at) ? b : a));
  const words = found.map(({ series, point }) => `${series.label} ${point[3]}`).join("; ");
  say(picture, `At ${closest.point[2]}: ${words}.`);
}

/**
 * An empty cursor on the picture.
 * @param {SVGSVGElement} picture
 */
function fresh(picture) {
  let cursor = picture.querySelector("g.cursor");
  if (!cursor) {
    cursor = document.createElementNS(SVG, "g");
    cursor.setAttribute("class", "cursor");
    cursor.setAttribute("pointer-events", "none");
    picture.append(cursor);
  }
  cursor.replaceChildren();
  return cursor;
}

/**
 * @param {SVGSVGElement} picture
 * @param {string} words
 */
function say(picture, words) {
  const place = picture.closest("figure")?.querySelector("[data-readout-text]");
  if (place) place.textContent = words;
}

/** @param {SVGSVGElement} picture */
function forget(picture) {
  places.delete(picture.id);
  picture.querySelector("g.cursor")?.remove();
  say(picture, "");
}

/**
 * @param {SVGSVGElement} picture
 * @param {number} clientX
 */
function toPicture(picture, clientX) {
  const box = picture.getBoundingClientRect();
  return ((clientX - box.left) * picture.viewBox.baseVal.width) / box.width;
}

/** @param {PointerEvent} event */
function onPointer(event) {
  const picture = pictureOf(event.target);
  if (picture) read(picture, toPicture(picture, event.clientX));
}

/** @param {KeyboardEvent} event */
function onKey(event) {
  const picture = pictureOf(event.target);
  if (!picture) return;
  if (event.key === "Escape") { forget(picture); return; }
  const points = subject(readoutOf(picture)).points;
  const at = places.get(picture.id);
  const here = at === undefined ? -1 : points.findIndex((point) => point[0] >= at - 0.5);
  const last = points.length - 1;
  const stride = event.shiftKey ? 5 : 1;
  /** @type {Record<string, number>} */
  const steps = {
    ArrowRight: at === undefined ? 0 : (here < 0 ? last : here + stride),
    ArrowLeft: at === undefined ? last : (here < 0 ? last : here - stride),
    Home: 0,
    End: last,
  };
  const next = steps[event.key];
  if (next === undefined) return;
  event.preventDefault();
  const point = points[Math.min(Math.max(next, 0), last)];
  if (point) read(picture, point[0]);
}

document.addEventListener("pointermove", onPointer);
document.addEventListener("pointerdown", onPointer);
document.addEventListener("pointerout", (event) => {
  const picture = pictureOf(event.target);
  const isLeaving = picture && !(event.relatedTarget instanceof Node && picture.contains(event.relatedTarget));
  if (picture && isLeaving && event.pointerType === "mouse" && document.activeElement !== picture) forget(picture);
});
document.addEventListener("keydown", onKey);
document.addEventListener("exchanged", () => {
  for (const [id, at] of places) {
    const picture = document.getElementById(id);
    if (picture instanceof SVGSVGElement) read(picture, at);
  }
});
