// @ts-check
// What the pages do beyond plain forms and links. Every page works without it.

import "./live.js";
import "./readout.js";

/** Tells the server how wide pictures may be, so that the next page is drawn to fit at once. */
function tellWidth() {
  const main = document.querySelector("main");
  if (main) document.cookie = `wakewright_width=${Math.round(main.clientWidth)}; Max-Age=34560000; SameSite=Strict; Path=/`;
}

tellWidth();
addEventListener("resize", tellWidth);
