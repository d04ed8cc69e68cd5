// What stands around the bed, drawn on its ground, to be carried to where it stands.
import { written } from "./curve.js";
import { carried, element } from "./marks.js";

// Corners of the ground that a thing takes up.
export function ground({ rings, foot: [x, y], radius }) {
  return radius === null ? rings.flat() : [[x - radius, y - radius], [x + radius, y + radius], [x - radius, y + radius], [x + radius, y - radius]];
}

// A house, wall or tree.  Where it was paced from the bed's middle it is carried round the bed, and
// moved by the arrow keys: left and right about it, up and down away from it and back.  Where it
// was set by measures along the base line it is carried anywhere.
export function neighbour(plot, n, thing, given, saver) {
  const { svg, unit, us, placed } = plot;
  const { kind, name, paced, foot, radius, rings } = thing;
  const group = element("g", { class: "thing-group", "data-thing": n, tabindex: 0, role: "button" });
  const word = element("text", { class: "thing-name", "font-size": unit * 2.6, "text-anchor": "middle" });
  word.textContent = name;
  const way = paced ? byPaces(plot, n, thing) : byMeasures(plot, n, thing, given);
  svg.append(group);
  plot.follows(() => {
    // What it was, carried by as much as its foot, and turned with it where it looks at the bed.
    const [fx, fy] = placed(foot);
    const { at: [x, y], turned } = way.where();
    const marks = radius !== null
      ? [element("circle", { cx: x, cy: y, r: radius }), element("circle", { class: "trunk", cx: x, cy: y, r: unit * 0.5 })]
      : rings.map((ring) => element("polygon", { points: ring.map(placed).map(([a, b]) => `${a - fx},${b - fy}`).join(" "), transform: `translate(${x} ${y}) rotate(${turned})` }));
    marks[0].classList.add(kind);
    for (const one of marks) {
      one.classList.add("thing-shape");
      one.setAttribute("stroke-width", unit * 0.3);
    }
    word.setAttribute("x", x);
    word.setAttribute("y", y - unit);
    group.replaceChildren(...marks, word);
    group.setAttribute("aria-label", `${name}, ${way.words()}; arrow keys move it`);
  });
  const moved = () => {
    plot.again();
    saver.moves(way.settings());
  };
  carried(svg, group, (at) => {
    way.carry(at);
    moved();
  }, () => saver.now(name, way.settings), way.hold);
  group.addEventListener("keydown", (event) => {
    const step = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!step) return;
    event.preventDefault();
    way.step(step);
    moved();
    saver.soon(name, way.settings);
  });

  function byPaces() {
    const [bearing, distance] = paced;
    let [toward, away] = paced;
    const step = us ? 0.1524 : 0.1;
    const middle = () => placed(plot.measured.middle);
    const put = (way, far) => {
      toward = (way + 360) % 360;
      away = Math.max(far, us ? 0.3048 : 0.1);
    };
    return {
      where() {
        const [x, y] = middle();
        const at = [x + Math.sin((toward * Math.PI) / 180) * away, y - Math.cos((toward * Math.PI) / 180) * away];
        // The rings lie as the bed does; what was paced keeps its bearing while the bed turns.
        const turn = plot.measured.bearing - plot.bearing;
        return { at, turned: turn + (thing.turns ? toward - bearing : 0) };
      },
      words: () => `${Math.round(toward)} degrees from north, ${written(away, us)} away`,
      settings: () => [
        ...(toward === bearing ? [] : [{ path: `surroundings.${n}.bearing`, value: toward }]),
        ...(away === distance ? [] : [{ path: `surroundings.${n}.distance`, value: written(away, us) }]),
      ],
      carry([e, s]) {
        const [x, y] = middle();
        const way = (Math.atan2(e - x, y - s) * 180) / Math.PI;
        put(Math.round(way / 5) * 5, Math.round(Math.hypot(e - x, s - y) / step) * step);
      },
      hold() {},
      step: ([across, down]) => put(toward + 5 * across, away - step * down),
    };
  }

  function byMeasures() {
    const step = us ? 0.0762 : 0.05;
    let by = [0, 0]; // metres in the bed's frame
    let held = [0, 0]; // where it was taken hold of, beside its place
    const cells = [...document.querySelectorAll(`[data-cell^="surroundings.${n}."]`)];
    const spots = () => (thing.corners ?? [thing.at]).map((at) => at.map((v, axis) => written(v + by[axis], us)));
    return {
      where: () => {
        // What lies by its corners, or looks at the bed, turns with it.
        const turned = thing.corners || thing.turns ? 0 : plot.measured.bearing - plot.bearing;
        return { at: placed(foot.map((v, axis) => v + by[axis])), turned };
      },
      hold(at) {
        held = plot.back(at).map((v, axis) => v - by[axis]);
      },
      words: () => {
        const [along, left] = foot.map((v, axis) => written(v + by[axis], us));
        return `${along} along the base line, ${left} to its left`;
      },
      settings: () => {
        if (!by[0] && !by[1]) return [];
        const value = thing.corners ? spots() : spots()[0];
        return [{ path: `surroundings.${n}.${thing.corners ? "corners" : "at"}`, value }];
      },
      carry(at) {
        by = plot.back(at).map((v, axis) => Math.round((v - held[axis]) / step) * step);
        show();
      },
      step(way) {
        by = plot.along(way.map((v) => v * step)).map((v, axis) => by[axis] + v);
        show();
      },
    };
    function show() {
      const now = thing.corners ? spots() : [];
      for (const cell of cells) {
        const [corner, axis] = cell.dataset.cell.split(".").slice(-2).map(Number);
        if (now[corner]) cell.value = now[corner][axis];
      }
    }
  }
}
