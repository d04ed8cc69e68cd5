// A photograph or a sketch under the drawing of the bed, to trace.  It stays in this browser: it is
// neither sent nor part of the brief.  Two clicks on it and the distance between them give its scale.

import { shelf } from "./inbrowser.js";

export const { kept, keep, drop } = shelf("bedwright", "pictures");

// Puts the picture into the drawing, below everything else; ``where``: its left edge, top and width,
// metres, as the drawing has them.
export function lay(svg, picture) {
  const { blob, where, tall } = picture;
  const image = document.createElementNS("http://www.w3.org/2000/svg", "image");
  image.setAttribute("href", URL.createObjectURL(blob));
  image.setAttribute("class", "traced");
  const put = () => {
    image.setAttribute("x", where.left);
    image.setAttribute("y", where.top);
    image.setAttribute("width", where.wide);
    image.setAttribute("height", where.wide * tall);
  };
  put();
  svg.prepend(image);
  return { image, put };
}

// Scales and moves a picture so that two spots on it lie so far apart, the first where it lay.
export function scaled(where, [first, second], metres) {
  const had = Math.hypot(second.x - first.x, second.y - first.y);
  if (!(had > 0) || !(metres > 0)) return null;
  const by = metres / had;
  return { left: first.x - (first.x - where.left) * by, top: first.y - (first.y - where.top) * by, wide: where.wide * by };
}
