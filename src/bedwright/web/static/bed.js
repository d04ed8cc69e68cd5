// The bed from above, to scale, north to the top: its outline, pegs to move, what stands around, the
// sun on it.  Lengths come in metres from the server, and what is moved goes back in the gardener's
// unit; what was typed and not moved stays as it was.
import { baseLine, compass, onlookers } from "./compass.js";
import { smooth, written } from "./curve.js";
import { lengths } from "./lengths.js";
import { carried, element, COARSE } from "./marks.js";
import { ground, neighbour } from "./things.js";

const LONG_DAY = 16; // hours of sun at which the bed is drawn at its lightest
const REST_MS = 700; // after which what the arrow keys moved is saved

// Draws the bed into a board.  ``hear.moves(settings)`` is called while something moves, with the
// fields as they would be changed; ``hear.moved(settings, words)`` once it stands;
// ``hear.length(one)`` when a length is chosen to be typed.
// ``near``: the bed alone, larger, not all that stands around it.
export function drawBed(board, { brief, measured }, hear, near = false) {
  const plot = plotOf(brief, measured);
  const { us, placed } = plot;
  const { field, pegs } = measured;
  const typed = field ? brief.bed[field].map((at) => [...at]) : [];

  const around = near ? [] : measured.things.flatMap(ground);
  const room = about([...plot.shape(), ...measured.spots, ...(measured.stakes ?? []), ...around].map(placed));
  const unit = Math.max(room.wide, room.high) / 90;
  const svg = element("svg", { viewBox: `${room.left} ${room.top} ${room.wide} ${room.high}`, role: "group", "aria-label": "The bed from above" });
  Object.assign(plot, { svg, unit, room });
  grid(svg, room, us ? 0.3048 : 0.5, unit);
  const line = element("polygon", { class: "edge", "stroke-width": unit * 0.5 });
  const shine = element("g", { class: "sunlight" });
  const rim = element("polygon", { class: "rim", "stroke-width": unit * 0.5 });
  svg.append(line, shine, rim);
  plot.follows(() => {
    const spots = plot.shape().map(placed).map((at) => at.map((v) => v.toFixed(3)).join(",")).join(" ");
    line.setAttribute("points", spots);
    rim.setAttribute("points", spots);
  });
  baseLine(plot);

  const saver = saverOf(hear);
  measured.things.forEach((thing, n) => neighbour(plot, n, thing, brief.surroundings[n], saver));
  compass(plot, saver);
  onlookers(plot, saver);
  lengths(plot, brief.bed, hear.length);
  for (const [k, at] of (measured.stakes ?? []).entries()) mark(at, "AB"[k], "stake");
  measured.spots.forEach((at, k) => mark(at, k + 1, "spot"));
  pegs.forEach(peg);
  board.replaceChildren(svg);
  board.dispatchEvent(new CustomEvent("drawn", { detail: { svg, room } }));

  function mark(at, name, kind) {
    const dot = element("circle", { class: kind, r: unit * 0.8 });
    const word = element("text", { class: "peg-name", "font-size": unit * 2.6 });
    word.textContent = name;
    svg.append(dot, word);
    plot.follows(() => {
      const [x, y] = placed(at);
      dot.setAttribute("cx", x); dot.setAttribute("cy", y);
      word.setAttribute("x", x + unit); word.setAttribute("y", y - unit);
    });
  }

  function peg(spot, k) {
    const cells = [0, 1].map((axis) => document.querySelector(`[data-cell="bed.${field}.${k}.${axis}"]`));
    const dot = element("circle", { class: "peg", "data-dot": k, r: unit * (COARSE ? 2.2 : 1.3), tabindex: 0, role: "button", "aria-label": `Peg ${k + 1}; arrow keys move it` });
    const name = element("text", { class: "peg-name", "font-size": unit * 2.6 });
    name.textContent = k + 1;
    svg.append(dot, name);
    plot.follows(() => {
      const [x, y] = placed(spot);
      dot.setAttribute("cx", x); dot.setAttribute("cy", y);
      name.setAttribute("x", x + unit * 1.8); name.setAttribute("y", y - unit * 1.2);
    });
    const settings = () => [{ path: `bed.${field}`, value: typed }];
    const move = (at) => {
      at.forEach((v, axis) => {
        spot[axis] = v;
        typed[k][axis] = written(v, us);
        if (cells[axis]) cells[axis].value = typed[k][axis];
      });
      plot.again();
      saver.moves(settings());
    };
    const snap = us ? 0.0254 * 3 : 0.05;
    carried(svg, dot, (at) => move(plot.back(at).map((v) => Math.round(v / snap) * snap)), () => saver.now(`Peg ${k + 1}`, settings));
    dot.addEventListener("keydown", (event) => {
      const step = (us ? 0.0127 : 0.01) * (event.shiftKey ? 10 : 1);
      const way = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
      if (!way) return;
      event.preventDefault();
      const [dx, dy] = plot.along(way.map((v) => v * step));
      move([spot[0] + dx, spot[1] + dy]);
      saver.soon(`Peg ${k + 1}`, settings);
    });
  }

  // The sun on the bed: the fewer the hours, the darker; the least and the most are written on it.
  return {
    shine({ cells: found, step, month }) {
      const by = [...found].sort((a, b) => a[2] - b[2]);
      const [least, most] = [by[0], by[by.length - 1]];
      const told = ([x, y, hours]) => {
        // Somewhat toward the middle, clear of pegs and their numbers.
        const [me, ms] = placed(measured.middle);
        const [ce, cs] = placed([x, y]);
        const by = Math.min(1, (6 * unit) / Math.max(Math.hypot(me - ce, ms - cs), unit));
        const [e, s] = [ce + (me - ce) * by, cs + (ms - cs) * by];
        const word = element("text", { class: "sun-hours", x: e, y: s + unit * 0.8, "font-size": unit * 2.2, "text-anchor": "middle" });
        word.textContent = `${hours} h`;
        return word;
      };
      const even = most[2] - least[2] < 0.05;
      const words = even ? [] : [told(least), told(most)];
      const apart = (name) => Math.abs(words[0].getAttribute(name) - words[1].getAttribute(name));
      if (words.length && apart("x") < 7 * unit && apart("y") < 3 * unit) words.pop(); // the caption has both
      shine.replaceChildren(...found.map(([x, y, hours]) => {
        const corners = [[-1, -1], [1, -1], [1, 1], [-1, 1]].map(([a, b]) => placed([x + (a * step) / 2, y + (b * step) / 2]).map((v) => v.toFixed(3)).join(","));
        return element("polygon", { points: corners.join(" "), "fill-opacity": (0.75 * (1 - Math.min(hours, LONG_DAY) / LONG_DAY)).toFixed(3) });
      }), ...words);
      const span = even ? `${most[2]} hours` : `${least[2]} to ${most[2]} hours`;
      return `${span} of direct sun on a clear day in ${month}; the darker, the less.`;
    },
    dull: () => shine.replaceChildren(),
  };
}

// What every mark of the drawing is put by: ``placed`` takes a spot of the bed's frame (x along the
// base line, y to its left) to north up, y down; ``back`` takes it back; ``along`` does so for a
// step.  A mark that ``follows`` is put once more whenever something moves (``again``) or the bed
// turns.
function plotOf(brief, measured) {
  const marks = [];
  let cos, sin;
  const plot = {
    measured,
    us: brief.units === "us",
    bearing: measured.bearing,
    shape: () => (!measured.field ? measured.edge : brief.bed.shape === "curve" ? smooth(measured.pegs, measured.sharp) : measured.pegs),
    placed: ([x, y]) => [x * cos + y * sin, x * sin - y * cos],
    back: ([e, s]) => [e * cos + s * sin, e * sin - s * cos],
    along: (step) => plot.back(step),
    follows: (put) => {
      marks.push(put);
      put();
    },
    again: () => marks.forEach((put) => put()),
    turn: (bearing) => {
      plot.bearing = bearing;
      const turned = ((bearing - 90) * Math.PI) / 180;
      [cos, sin] = [Math.cos(turned), Math.sin(turned)];
      plot.again();
    },
  };
  plot.turn(measured.bearing);
  return plot;
}

// Saves what is moved: at once, or what the arrow keys move once they rest, all of it together.
function saverOf(hear) {
  const moved = new Map();
  let waiting = null;
  const save = () => {
    clearTimeout(waiting);
    const settings = [...moved.values()].flatMap((found) => found());
    if (settings.length) hear.moved(settings, `${[...moved.keys()].join(", ")} moved`);
    moved.clear();
  };
  return {
    moves: hear.moves,
    now(name, settings) {
      moved.set(name, settings);
      save();
    },
    soon(name, settings) {
      moved.set(name, settings);
      clearTimeout(waiting);
      waiting = setTimeout(save, REST_MS);
    },
  };
}

// Room for the bed and what stands around it, with a margin, metres.
function about(spots) {
  const east = spots.map(([e]) => e), south = spots.map(([, s]) => s);
  const [w, e, n, s] = [Math.min(...east), Math.max(...east), Math.min(...south), Math.max(...south)];
  const margin = Math.max(e - w, s - n) * 0.25 + 0.5;
  return { left: w - margin, top: n - margin, wide: e - w + 2 * margin, high: s - n + 2 * margin };
}

function grid(svg, { left, top, wide, high }, step, unit) {
  const lines = element("g", { class: "grid", "stroke-width": unit * 0.12 });
  for (let x = Math.ceil(left / step) * step; x <= left + wide; x += step) lines.append(element("line", { x1: x, x2: x, y1: top, y2: top + high }));
  for (let y = Math.ceil(top / step) * step; y <= top + high; y += step) lines.append(element("line", { x1: left, x2: left + wide, y1: y, y2: y }));
  svg.append(lines);
}
