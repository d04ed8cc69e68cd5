// Marks of the drawing: SVG elements that can be carried, and turned by keys.

const SVG = "http://www.w3.org/2000/svg";

// A finger points at more than a mouse does.
export const COARSE = matchMedia("(pointer: coarse)").matches;

// Lets a mark be carried by the pointer: ``hold`` is told where it is taken hold of, ``move`` where
// the pointer goes, ``done`` when it is let go.
export function carried(svg, mark, move, done, hold = () => {}) {
  const spot = (event) => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    return [at.x, at.y];
  };
  mark.addEventListener("pointerdown", (down) => {
    down.preventDefault();
    mark.focus();
    mark.setPointerCapture(down.pointerId);
    hold(spot(down));
    let moved = false;
    const follow = (event) => {
      moved = true;
      move(spot(event));
    };
    const letGo = () => {
      for (const [name, act] of [["pointermove", follow], ["pointerup", letGo], ["pointercancel", letGo]]) mark.removeEventListener(name, act);
      if (moved) done();
    };
    mark.addEventListener("pointermove", follow);
    mark.addEventListener("pointerup", letGo);
    mark.addEventListener("pointercancel", letGo);
  });
}

export function element(name, attributes) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}
