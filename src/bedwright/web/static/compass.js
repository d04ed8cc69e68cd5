// How the bed lies: its base line, turned by the blue hand of the compass; and from where it is
// looked at, by marks on its eight sides.
import { carried, element, COARSE } from "./marks.js";

const SIDES = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];
const NAMES = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
const STEP = 5; // degrees

const out = (bearing, far) => [Math.sin((bearing * Math.PI) / 180) * far, -Math.cos((bearing * Math.PI) / 180) * far];

// The line from which the measures along and to the left are taken.
export function baseLine(plot) {
  const line = element("path", { class: "base-line", "stroke-width": plot.unit * 0.25, "stroke-dasharray": [4, 0.8, 0.8, 0.8].map((v) => v * plot.unit).join(" ") });
  plot.svg.append(line);
  plot.follows(() => {
    const far = Math.max(...plot.shape().map(([x]) => x)) + 3 * plot.unit;
    const [a, b, l, r] = [[0, 0], [far, 0], [far - 1.5 * plot.unit, 0.7 * plot.unit], [far - 1.5 * plot.unit, -0.7 * plot.unit]].map(plot.placed);
    line.setAttribute("d", `M${a} L${b} M${l} L${b} L${r}`);
  });
}

export function compass(plot, saver) {
  const { svg, unit, room } = plot;
  const [x, y] = [room.left + room.wide - 9 * unit, room.top + 10 * unit];
  const rose = element("g", { class: "rose", transform: `translate(${x} ${y}) scale(${unit})` });
  const name = element("text", { "font-size": 2.6, y: -6.6, "text-anchor": "middle" });
  name.textContent = "N";
  rose.append(element("circle", { class: "ring", r: 6 }), element("path", { d: "M0 -6 L1.4 2.4 L0 1.4 L-1.4 2.4 Z" }), name);
  const hand = element("g", { class: "hand", role: "slider", tabindex: 0, "aria-label": "The base line runs toward", "aria-valuemin": 0, "aria-valuemax": 359 });
  const [line, dot] = [element("line", { "stroke-width": 0.5 }), element("circle", { r: COARSE ? 2.4 : 1.4 })];
  hand.append(line, dot);
  rose.append(hand);
  svg.append(rose);
  plot.follows(() => {
    const [e, s] = out(plot.bearing, 6);
    for (const [key, value] of Object.entries({ x2: e, y2: s })) line.setAttribute(key, value);
    for (const [key, value] of Object.entries({ cx: e, cy: s })) dot.setAttribute(key, value);
    hand.setAttribute("aria-valuenow", Math.round(plot.bearing));
    hand.setAttribute("aria-valuetext", `${Math.round(plot.bearing)} degrees from north; arrow keys turn the bed`);
  });
  const settings = () => (plot.bearing === plot.measured.bearing ? [] : [{ path: "bed.bearing", value: plot.bearing }]);
  const turn = (bearing) => {
    plot.turn((bearing + 360) % 360);
    saver.moves(settings());
  };
  carried(svg, hand, ([e, s]) => turn(Math.round((Math.atan2(e - x, y - s) * 180) / Math.PI / STEP) * STEP), () => saver.now("The base line", settings));
  hand.addEventListener("keydown", (event) => {
    const by = { ArrowRight: STEP, ArrowUp: STEP, ArrowLeft: -STEP, ArrowDown: -STEP }[event.key];
    if (!by) return;
    event.preventDefault();
    turn(plot.bearing + by);
    saver.soon("The base line", settings);
  });
}

export function onlookers(plot, saver) {
  const { svg, unit, placed, measured } = plot;
  const had = measured.viewed_from.map((bearing) => SIDES[Math.round(bearing / 45) % 8]);
  const all = had.length === 0;
  SIDES.forEach((side, k) => {
    const on = all || had.includes(side);
    const mark = element("path", { class: on ? "onlooker on" : "onlooker", role: "checkbox", tabindex: 0, "data-side": side, "aria-checked": on, "aria-label": `Looked at from the ${NAMES[k]}`, "stroke-width": unit * 0.3 });
    svg.append(mark);
    plot.follows(() => {
      const [x, y] = placed(measured.middle);
      const [ux, uy] = out(45 * k, 1);
      const far = Math.max(...plot.shape().map(placed).map(([e, s]) => (e - x) * ux + (s - y) * uy)) + 10 * unit;
      const tip = [x + ux * far, y + uy * far];
      const back = [tip[0] + ux * 2.4 * unit, tip[1] + uy * 2.4 * unit];
      const wing = [-uy * 1.5 * unit, ux * 1.5 * unit];
      mark.setAttribute("d", `M${tip} L${back[0] + wing[0]} ${back[1] + wing[1]} L${back[0] - wing[0]} ${back[1] - wing[1]} Z`);
    });
    const choose = () => {
      // From all sides, the first one chosen is the only one.
      const now = all ? [side] : on ? had.filter((one) => one !== side) : [...had, side];
      const every = now.length === 0 || now.length === SIDES.length;
      saver.now("Where it is looked at from", () => [{ path: "bed.viewed_from", value: every ? null : now }]);
    };
    mark.addEventListener("click", choose);
    mark.addEventListener("keydown", (event) => {
      if (event.key !== " " && event.key !== "Enter") return;
      event.preventDefault();
      choose();
    });
  });
}
