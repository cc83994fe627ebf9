// @ts-check
// A picture saved as PNG: its drawing as the server has it, painted twice as large as it is read.

const SCALE = 2;

/** Follows the ways to save a picture, those of parts that are exchanged later among them. */
export function followSaves() {
  document.documentElement.classList.add("saves");
  document.addEventListener("click", (event) => {
    const link = event.target instanceof Element ? event.target.closest("a.png") : null;
    if (!(link instanceof HTMLAnchorElement)) return;
    event.preventDefault();
    void save(link);
  });
}

/** @param {HTMLAnchorElement} link */
async function save(link) {
  const drawing = new Image();
  drawing.src = link.href;
  try {
    await drawing.decode();
  } catch {
    link.textContent = "cannot be drawn";
    return;
  }
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [drawing.naturalWidth * SCALE, drawing.naturalHeight * SCALE];
  canvas.getContext("2d")?.drawImage(drawing, 0, 0, canvas.width, canvas.height);
  canvas.toBlob((image) => {
    if (!image) return;
    const file = document.createElement("a");
    file.href = URL.createObjectURL(image);
    file.download = link.dataset.name ?? "picture.png";
    file.click();
    setTimeout(() => URL.revokeObjectURL(file.href), 10_000);
  }, "image/png");
}
