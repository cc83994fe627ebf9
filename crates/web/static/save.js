// @ts-check
// A picture saved with her name: as SVG as it is drawn on the page, on paper and in ink, where the server has no file
// of it, and as PNG larger than it is read.

const SCALE = 3;

/** Follows the ways to save a picture, those of parts that are exchanged later among them. */
export function followSaves() {
  document.documentElement.classList.add("saves");
  document.addEventListener("click", (event) => {
    const link = event.target instanceof Element ? event.target.closest("a[data-save]") : null;
    if (!(link instanceof HTMLAnchorElement) || (link.hasAttribute("download") && !link.hash)) return;
    event.preventDefault();
    save(link).catch(() => { link.textContent = "cannot be drawn"; });
  });
}

/** @param {HTMLAnchorElement} link */
async function save(link) {
  const text = link.hash ? await onPaper(link.hash.slice(1)) : await (await fetch(link.href)).text();
  const svg = new Blob([text], { type: "image/svg+xml" });
  const words = link.hash ? link.hash.slice(1) : link.pathname.split("/").pop()?.split(".")[0];
  const name = `${location.pathname.split("/").filter((part) => part && part !== "boats").join("-")}-${words}`;
  hand(link.dataset.save === "svg" ? svg : await painted(svg), `${name}.${link.dataset.save}`);
}

/** The picture of this id by itself: the light colours in the place of the page's, its letters within. @param {string} id */
async function onPaper(id) {
  const drawn = document.getElementById(id)?.cloneNode(true);
  if (!(drawn instanceof SVGElement)) throw new Error(`no picture ${id}`);
  for (const passing of drawn.querySelectorAll(".cursor, rect.frame")) passing.remove();
  drawn.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  const light = document.createElement("i");
  light.dataset.theme = "light";
  document.body.append(light);
  const colours = getComputedStyle(light);
  const style = document.createElementNS("http://www.w3.org/2000/svg", "style");
  style.textContent = await letters();
  drawn.prepend(style);
  const text = drawn.outerHTML.replaceAll(/var\(--(\w+)\)/g, (_, name) => colours.getPropertyValue(`--${name}`).trim());
  light.remove();
  return text;
}

/** The faces of the page's sans, each with its file within. */
async function letters() {
  const rules = [...document.styleSheets].flatMap((sheet) => [...sheet.cssRules]);
  const faces = rules.filter((rule) => rule instanceof CSSFontFaceRule && rule.cssText.includes("Wakewright Sans"));
  return (await Promise.all(faces.map(async (face) => {
    const address = /url\("([^"]+)"\)/.exec(face.cssText)?.[1] ?? "";
    const bytes = new Uint8Array(await (await fetch(new URL(address, face.parentStyleSheet?.href ?? location.href))).arrayBuffer());
    return face.cssText.replace(address, `data:font/woff2;base64,${btoa(bytes.reduce((all, byte) => all + String.fromCharCode(byte), ""))}`);
  }))).join("");
}

/** @param {Blob} svg @returns {Promise<Blob>} */
async function painted(svg) {
  const drawing = new Image();
  drawing.src = URL.createObjectURL(svg);
  await drawing.decode();
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [drawing.naturalWidth * SCALE, drawing.naturalHeight * SCALE];
  canvas.getContext("2d")?.drawImage(drawing, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve, reject) => {
    canvas.toBlob((image) => { if (image) resolve(image); else reject(new Error("not painted")); }, "image/png");
  });
}

/** @param {Blob} file @param {string} name */
function hand(file, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
