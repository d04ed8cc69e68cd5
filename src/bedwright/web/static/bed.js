// The bed from above, to scale, north to the top: its outline, pegs to move, what stands around, the
// sun on it.  Lengths come in metres from the server, and what is moved goes back in the gardener's
// unit; what was typed and not moved stays as it was.

const SVG = "http://www.w3.org/2000/svg";
const LONG_DAY = 16; // hours of sun at which the bed is drawn at its lightest

// A length as one types it: "1.25 m"; "4 ft 1.5 in", to the half inch.
export function written(length, us) {
  if (!us) return `${Math.round(length * 100) / 100 + 0} m`;
  const halves = Math.round((Math.abs(length) / 0.0254) * 2);
  const feet = Math.floor(halves / 24), inches = halves / 2 - 12 * feet;
  const words = [feet ? `${feet} ft` : "", inches || !feet ? `${inches} in` : ""].filter(Boolean).join(" ");
  return length < 0 && halves ? `-${words}` : words;
}

// A closed smooth line through the pegs, as the plan has it: a cubic spline with centripetal knots,
// cut with free ends at the pegs (counted from 0) where it turns sharply.
export function smooth(pegs, sharp = [], steps = 16) {
  const n = pegs.length;
  const cuts = [...sharp].sort((a, b) => a - b);
  const ends = cuts.length ? [...cuts, cuts[0] + n] : [0, n];
  const out = [];
  for (let piece = 0; piece + 1 < ends.length; piece++) {
    const held = [];
    for (let k = ends[piece]; k <= ends[piece + 1]; k++) held.push(pegs[k % n]);
    out.push(...spline(held, !cuts.length, steps));
  }
  return out;
}

function spline(held, periodic, steps) {
  const n = held.length - 1;
  const h = Array.from({ length: n }, (_, k) => Math.max(Math.hypot(held[k + 1][0] - held[k][0], held[k + 1][1] - held[k][1]) ** 0.5, 1e-9));
  const bends = [0, 1].map((axis) => {
    const p = held.map((at) => at[axis]);
    const size = periodic ? n : n + 1;
    const rows = Array.from({ length: size }, () => new Array(size + 1).fill(0));
    for (let k = 0; k < size; k++) {
      if (!periodic && (k === 0 || k === n)) {
        rows[k][k] = 1; // a free end does not bend
        continue;
      }
      const before = (k - 1 + n) % n;
      rows[k][(k - 1 + size) % size] += h[before];
      rows[k][k] += 2 * (h[before] + h[k % n]);
      rows[k][(k + 1) % size] += h[k % n];
      rows[k][size] = 6 * ((p[k + 1] - p[k]) / h[k] - (p[k] - p[periodic ? before : k - 1]) / h[before]);
    }
    const m = solved(rows);
    if (periodic) m.push(m[0]);
    return m;
  });
  const out = [];
  for (let k = 0; k < n; k++) {
    for (let s = 0; s < steps; s++) {
      const b = s / steps, a = 1 - b;
      out.push([0, 1].map((axis) => a * held[k][axis] + b * held[k + 1][axis]
        + ((a ** 3 - a) * bends[axis][k] + (b ** 3 - b) * bends[axis][k + 1]) * h[k] ** 2 / 6));
    }
  }
  return out;
}

// Linear equations, their right side in the last column, by elimination.
function solved(rows) {
  const n = rows.length;
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let r = k + 1; r < n; r++) if (Math.abs(rows[r][k]) > Math.abs(rows[best][k])) best = r;
    [rows[k], rows[best]] = [rows[best], rows[k]];
    for (let r = 0; r < n; r++) {
      if (r === k || !rows[r][k]) continue;
      const f = rows[r][k] / rows[k][k];
      for (let c = k; c <= n; c++) rows[r][c] -= f * rows[k][c];
    }
  }
  return rows.map((row, k) => row[n] / row[k]);
}

// Draws the bed into a board.  ``hear.moves(settings)`` is called while something moves, with the
// fields as they would be changed; ``hear.moved(settings, words)`` once it stands.
// ``near``: the bed alone, larger, not all that stands around it.
export function drawBed(board, { brief, measured }, hear, near = false) {
  const us = brief.units === "us";
  const { field, pegs, sharp } = measured;
  const typed = field ? brief.bed[field].map((at) => [...at]) : [];
  const turn = ((measured.bearing - 90) * Math.PI) / 180;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  // From the bed's frame (x along the base line, y to its left) to north up, y down; and back.
  const placed = ([x, y]) => [x * cos + y * sin, x * sin - y * cos];
  const back = ([e, s]) => [e * cos + s * sin, e * sin - s * cos];
  const shape = () => (!field ? measured.edge : brief.bed.shape === "curve" ? smooth(pegs, sharp) : pegs);

  const around = near ? [] : measured.things.flatMap(ground);
  const room = about([...shape(), ...measured.spots, ...(measured.stakes ?? []), ...around].map(placed));
  const unit = Math.max(room.wide, room.high) / 90;
  const svg = element("svg", { viewBox: `${room.left} ${room.top} ${room.wide} ${room.high}`, role: "group", "aria-label": "The bed from above" });
  grid(svg, room, us ? 0.3048 : 0.5, unit);
  const line = element("polygon", { class: "edge", "stroke-width": unit * 0.5 });
  const shine = element("g", { class: "sunlight" });
  const rim = element("polygon", { class: "rim", "stroke-width": unit * 0.5 });
  svg.append(line, shine, rim);
  const trace = () => {
    const spots = shape().map(placed).map((at) => at.map((v) => v.toFixed(3)).join(",")).join(" ");
    line.setAttribute("points", spots);
    rim.setAttribute("points", spots);
  };
  trace();
  measured.things.forEach((thing, n) => neighbour(n, thing));
  north(svg, room.left + room.wide - 5 * unit, room.top + 8 * unit, unit);
  for (const [k, at] of (measured.stakes ?? []).entries()) mark(at, "AB"[k], "stake");
  measured.spots.forEach((at, k) => mark(at, k + 1, "spot"));
  board.replaceChildren(svg);
  board.dispatchEvent(new CustomEvent("drawn", { detail: { svg, room } }));

  const cells = [...document.querySelectorAll("[data-cell]")];
  const pegSettings = () => [{ path: `bed.${field}`, value: typed }];
  // What the arrow keys move is saved once they rest, all of it at once.
  const moved = new Map();
  let waiting = null;
  const soon = (name, settings) => {
    moved.set(name, settings);
    clearTimeout(waiting);
    waiting = setTimeout(save, 700);
  };
  const save = () => {
    clearTimeout(waiting);
    const settings = [...moved.values()].flatMap((found) => found());
    if (settings.length) hear.moved(settings, `${[...moved.keys()].join(", ")} moved`);
    moved.clear();
  };
  const now = (name, settings) => {
    moved.set(name, settings);
    save();
  };

  function mark(at, name, kind) {
    const [x, y] = placed(at);
    const word = element("text", { class: "peg-name", x: x + unit, y: y - unit, "font-size": unit * 2.6 });
    word.textContent = name;
    svg.append(element("circle", { class: kind, cx: x, cy: y, r: unit * 0.8 }), word);
  }

  pegs.forEach((peg, k) => {
    const dot = element("circle", { class: "peg", "data-dot": k, r: unit * 1.3, tabindex: 0, role: "button", "aria-label": `Peg ${k + 1}; arrow keys move it` });
    const name = element("text", { class: "peg-name", "font-size": unit * 2.6 });
    name.textContent = k + 1;
    const put = () => {
      const [x, y] = placed(peg);
      dot.setAttribute("cx", x); dot.setAttribute("cy", y);
      name.setAttribute("x", x + unit * 1.8); name.setAttribute("y", y - unit * 1.2);
    };
    const move = (at) => {
      at.forEach((v, axis) => {
        peg[axis] = v;
        typed[k][axis] = written(v, us);
        const cell = cells.find((one) => one.dataset.cell === `bed.${field}.${k}.${axis}`);
        if (cell) cell.value = typed[k][axis];
      });
      put();
      trace();
      hear.moves(pegSettings());
    };
    const done = () => now(`Peg ${k + 1}`, pegSettings);
    svg.append(dot, name);
    put();
    const snap = us ? 0.0254 * 3 : 0.05;
    carried(svg, dot, ([e, s]) => move(back([e, s]).map((v) => Math.round(v / snap) * snap)), done);
    dot.addEventListener("keydown", (event) => {
      const step = (us ? 0.0127 : 0.01) * (event.shiftKey ? 10 : 1);
      const way = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
      if (!way) return;
      event.preventDefault();
      const [dx, dy] = back(way.map((v) => v * step));
      move([peg[0] + dx, peg[1] + dy]);
      soon(`Peg ${k + 1}`, pegSettings);
    });
  });

  // A house, wall or tree.  Where it was paced from the bed's middle it can be carried round, or
  // moved by the arrow keys: left and right about the bed, up and down away from it and back.
  function neighbour(n, thing) {
    const { kind, name, paced, foot, radius, rings } = thing;
    const group = element("g", { class: "thing-group", "data-thing": n });
    const word = element("text", { class: "thing-name", "font-size": unit * 2.6, "text-anchor": "middle" });
    word.textContent = name;
    const [bearing, distance] = paced ?? [0, 0];
    let [toward, away] = [bearing, distance];
    const middle = placed(measured.middle);
    const put = () => {
      // What it was, carried by as much as its foot, and turned with it where it looks at the bed.
      const [fx, fy] = placed(foot);
      const [x, y] = paced ? [middle[0] + Math.sin((toward * Math.PI) / 180) * away, middle[1] - Math.cos((toward * Math.PI) / 180) * away] : [fx, fy];
      const by = thing.turns ? toward - bearing : 0;
      const marks = radius !== null
        ? [element("circle", { cx: x, cy: y, r: radius }), element("circle", { class: "trunk", cx: x, cy: y, r: unit * 0.5 })]
        : rings.map((ring) => element("polygon", { points: ring.map(placed).map(([a, b]) => `${a - fx},${b - fy}`).join(" "), transform: `translate(${x} ${y}) rotate(${by})` }));
      marks[0].classList.add(kind);
      for (const one of marks) {
        one.classList.add("thing-shape");
        one.setAttribute("stroke-width", unit * 0.3);
      }
      word.setAttribute("x", x);
      word.setAttribute("y", y - unit);
      group.replaceChildren(...marks, word);
      const where = paced ? `, ${Math.round(toward)} degrees from north, ${written(away, us)} away; arrow keys move it` : "";
      group.setAttribute("aria-label", name + where);
    };
    put();
    svg.append(group);
    group.setAttribute("role", paced ? "button" : "img");
    if (!paced) return;
    group.setAttribute("tabindex", 0);
    const settings = () => [
      ...(toward === bearing ? [] : [{ path: `surroundings.${n}.bearing`, value: toward }]),
      ...(away === distance ? [] : [{ path: `surroundings.${n}.distance`, value: written(away, us) }]),
    ];
    const move = (way, far) => {
      toward = (way + 360) % 360;
      away = Math.max(far, us ? 0.3048 : 0.1);
      put();
      hear.moves(settings());
    };
    const done = () => now(name, settings);
    const step = us ? 0.1524 : 0.1;
    carried(svg, group, ([e, s]) => {
      const way = (Math.atan2(e - middle[0], middle[1] - s) * 180) / Math.PI;
      move(Math.round(way / 5) * 5, Math.round(Math.hypot(e - middle[0], s - middle[1]) / step) * step);
    }, done);
    group.addEventListener("keydown", (event) => {
      const by = { ArrowRight: [5, 0], ArrowLeft: [-5, 0], ArrowUp: [0, step], ArrowDown: [0, -step] }[event.key];
      if (!by) return;
      event.preventDefault();
      move(toward + by[0], away + by[1]);
      soon(name, settings);
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
      shine.replaceChildren(...found.map(([x, y, hours]) => {
        const corners = [[-1, -1], [1, -1], [1, 1], [-1, 1]].map(([a, b]) => placed([x + (a * step) / 2, y + (b * step) / 2]).map((v) => v.toFixed(3)).join(","));
        return element("polygon", { points: corners.join(" "), "fill-opacity": (0.75 * (1 - Math.min(hours, LONG_DAY) / LONG_DAY)).toFixed(3) });
      }), ...(even ? [] : [told(least), told(most)]));
      const span = even ? `${most[2]} hours` : `${least[2]} to ${most[2]} hours`;
      return `${span} of direct sun on a clear day in ${month}; the darker, the less.`;
    },
    dull: () => shine.replaceChildren(),
  };
}

// Lets a mark be carried by the pointer: ``move`` is told where it is, ``done`` when it is let go.
function carried(svg, mark, move, done) {
  mark.addEventListener("pointerdown", (down) => {
    down.preventDefault();
    mark.focus();
    mark.setPointerCapture(down.pointerId);
    let moved = false;
    const follow = (event) => {
      const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
      moved = true;
      move([at.x, at.y]);
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

function element(name, attributes) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}

// Room for the bed and what stands around it, with a margin, metres.
function about(spots) {
  const east = spots.map(([e]) => e), south = spots.map(([, s]) => s);
  const [w, e, n, s] = [Math.min(...east), Math.max(...east), Math.min(...south), Math.max(...south)];
  const margin = Math.max(e - w, s - n) * 0.2 + 0.5;
  return { left: w - margin, top: n - margin, wide: e - w + 2 * margin, high: s - n + 2 * margin };
}

// Corners of the ground that a thing takes up.
function ground({ rings, foot: [x, y], radius }) {
  return radius === null ? rings.flat() : [[x - radius, y - radius], [x + radius, y + radius], [x - radius, y + radius], [x + radius, y - radius]];
}

function grid(svg, { left, top, wide, high }, step, unit) {
  const lines = element("g", { class: "grid", "stroke-width": unit * 0.12 });
  for (let x = Math.ceil(left / step) * step; x <= left + wide; x += step) lines.append(element("line", { x1: x, x2: x, y1: top, y2: top + high }));
  for (let y = Math.ceil(top / step) * step; y <= top + high; y += step) lines.append(element("line", { x1: left, x2: left + wide, y1: y, y2: y }));
  svg.append(lines);
}

function north(svg, x, y, unit) {
  const rose = element("g", { class: "rose", transform: `translate(${x} ${y}) scale(${unit})` });
  rose.append(element("path", { d: "M0 -4 L1.6 3 L0 1.8 L-1.6 3 Z" }));
  const name = element("text", { "font-size": 2.6, y: -4.6, "text-anchor": "middle" });
  name.textContent = "N";
  rose.append(name);
  svg.append(rose);
}
