// The bed from above, to scale, north to the top: its outline, pegs to move, what stands around.

const SVG = "http://www.w3.org/2000/svg";
const POINTS = ["N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"];
const WORDS = { north: "N", northeast: "NE", east: "E", southeast: "SE", south: "S", southwest: "SW", west: "W", northwest: "NW" };
const UNITS = { m: 1, cm: 0.01, mm: 0.001, ft: 0.3048, in: 0.0254, yd: 0.9144, "'": 0.3048, '"': 0.0254 };

export function metres(text) {
  let total = 0;
  for (const [, sign, whole, unit] of String(text).matchAll(/([-−]?)\s*(\d+(?:[.,]\d+)?)\s*(cm|mm|m|ft|in|yd|'|")/g)) {
    total += (sign || total < 0 ? -1 : 1) * Number(whole.replace(",", ".")) * UNITS[unit];
  }
  return total;
}

export function degrees(given, usual = 90) {
  if (typeof given === "number") return given;
  const word = String(given ?? "").trim().toLowerCase().replace(/[ -]/g, "");
  const at = POINTS.indexOf(WORDS[word] ?? word.toUpperCase());
  return at >= 0 ? at * 22.5 : Number(word) || usual;
}

export function said(length, us) {
  if (!us) return `${Math.round(length * 100) / 100} m`;
  const inches = Math.round(Math.abs(length) / 0.0254 * 2) / 2;
  const feet = Math.floor(inches / 12);
  const words = feet ? `${feet} ft${inches % 12 ? ` ${inches % 12} in` : ""}` : `${inches} in`;
  return length < 0 ? `-${words}` : words;
}

// A closed smooth line through the pegs, as the plan has it: a cubic spline with centripetal knots,
// cut with free ends at the pegs (counted from 1) where it turns sharply.
export function smooth(pegs, sharp = [], steps = 16) {
  const n = pegs.length;
  const cuts = [...sharp].map((k) => k - 1).sort((a, b) => a - b);
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

// The settings that put one more peg into the line where that grows least by it.
export function withPeg(bed, field, at, us) {
  const pegs = bed[field].map((one) => one.map(metres));
  const longer = pegs.map((one, k) => {
    const next = pegs[(k + 1) % pegs.length];
    return Math.hypot(one[0] - at[0], one[1] - at[1]) + Math.hypot(next[0] - at[0], next[1] - at[1]) - Math.hypot(one[0] - next[0], one[1] - next[1]);
  });
  const after = longer.indexOf(Math.min(...longer)) + 1;
  const value = [...bed[field]];
  value.splice(after, 0, at.map((v) => said(v, us)));
  const settings = [{ path: `bed.${field}`, value }];
  if (bed.sharp) settings.push({ path: "bed.sharp", value: bed.sharp.map((k) => (k > after ? k + 1 : k)) });
  return settings;
}

// Where two tapes meet, held at two spots; which of the two crossings is told by the side, looking
// from the first spot to the second.  Words where they do not meet.
export function tapesMeet([ax, ay], [bx, by], first, second, left) {
  const apart = Math.hypot(bx - ax, by - ay);
  const gap = (text) => `${text} by ${Math.round(Math.abs(text.startsWith("Together") ? apart - first - second : Math.abs(first - second) - apart) * 100) / 100} m.`;
  if (!(apart > 0)) return "Measure from two pegs that do not stand on one spot.";
  if (first + second < apart) return gap("Together the tapes are too short to meet");
  if (Math.abs(first - second) > apart) return gap("One tape is too long to meet the other");
  const along = (first ** 2 - second ** 2 + apart ** 2) / (2 * apart);
  const off = Math.sqrt(Math.max(first ** 2 - along ** 2, 0)) * (left ? 1 : -1);
  const [ux, uy] = [(bx - ax) / apart, (by - ay) / apart];
  return [ax + along * ux - off * uy, ay + along * uy + off * ux];
}

export function outline(bed) {
  const ring = (rx, ry, cx, cy) => Array.from({ length: 72 }, (_, k) => [cx + rx * Math.cos((k * Math.PI) / 36), cy + ry * Math.sin((k * Math.PI) / 36)]);
  const size = (name) => metres(bed[name]);
  const places = (name) => (bed[name] ?? []).filter(Array.isArray).map((at) => at.map(metres));
  switch (bed.shape) {
    case "rectangle": return [[0, 0], [size("length"), 0], [size("length"), size("width")], [0, size("width")]];
    case "ellipse": return ring(size("length") / 2, size("width") / 2, size("length") / 2, 0);
    case "circle": return ring(size("diameter") / 2, size("diameter") / 2, size("diameter") / 2, 0);
    case "curve": return smooth(places("pegs"), bed.sharp);
    case "polygon": return places("corners");
    default: return [];
  }
}

// ``still``: the outline as the plan has it, where there are no pegs to move.
export function drawBed(board, brief, still, set) {
  const { bed } = brief;
  const us = brief.units === "us";
  const pegField = board.dataset.pegField;
  const pegs = pegField ? bed[pegField].map((at) => at.map(metres)) : [];
  const turn = ((degrees(bed.bearing) - 90) * Math.PI) / 180;
  // From the bed's frame (x along the base line, y to its left) to north up, y down.
  const placed = ([x, y]) => [x * Math.cos(turn) + y * Math.sin(turn), x * Math.sin(turn) - y * Math.cos(turn)];
  const back = ([e, s]) => [e * Math.cos(turn) + s * Math.sin(turn), e * Math.sin(turn) - s * Math.cos(turn)];
  const shape = () => (!pegField ? still : bed.shape === "curve" ? smooth(pegs, bed.sharp) : pegs);

  const edge = shape().map(placed);
  if (!edge.length) return;
  const middle = centre(edge);
  const seen = [...edge, ...(brief.surroundings ?? []).flatMap((thing) => reach(thing, middle))];
  const all = seen.map(([e]) => e), down = seen.map(([, s]) => s);
  const [w, e, n, s] = [Math.min(...all), Math.max(...all), Math.min(...down), Math.max(...down)];
  const margin = Math.max(e - w, s - n) * 0.2 + 0.5;
  const svg = element("svg", { viewBox: `${w - margin} ${n - margin} ${e - w + 2 * margin} ${s - n + 2 * margin}`, role: "group", "aria-label": "The bed from above" });
  const unit = (Math.max(e - w, s - n) + 2 * margin) / 90;
  grid(svg, w - margin, n - margin, e + margin, s + margin, us ? 0.3048 : 0.5, unit);
  (brief.surroundings ?? []).forEach((thing, n) => neighbour(svg, thing, n, middle, unit, us, set));
  const line = element("polygon", { class: "edge", "stroke-width": unit * 0.5 });
  svg.append(line);
  north(svg, e + margin - 5 * unit, n - margin + 8 * unit, unit);
  const trace = () => line.setAttribute("points", shape().map(placed).map((at) => at.map((v) => v.toFixed(3)).join(",")).join(" "));
  trace();
  board.replaceChildren(svg);
  board.dispatchEvent(new CustomEvent("drawn", { detail: { svg, room: { left: w - margin, top: n - margin, wide: e - w + 2 * margin } } }));

  const inputs = [...document.querySelectorAll("#pegs input")];
  const cell = (k, axis) => inputs.find((one) => Number(one.dataset.peg) === k && Number(one.dataset.axis) === axis);
  const save = (words) => set([{ path: `bed.${pegField}`, value: pegs.map((at) => at.map((v) => said(v, us))) }], words);
  let waiting = null;
  const soon = (words) => {
    clearTimeout(waiting);
    waiting = setTimeout(() => save(words), 700);
  };

  pegs.forEach((peg, k) => {
    const dot = element("circle", { class: "peg", "data-dot": k, r: unit * 1.3, tabindex: 0, role: "button", "aria-label": `Peg ${k + 1}; arrow keys move it` });
    const name = element("text", { class: "peg-name", "font-size": unit * 2.6 });
    name.textContent = k + 1;
    const put = () => {
      const [x, y] = placed(peg);
      dot.setAttribute("cx", x); dot.setAttribute("cy", y);
      name.setAttribute("x", x + unit * 1.8); name.setAttribute("y", y - unit * 1.2);
      for (const axis of [0, 1]) if (cell(k, axis)) cell(k, axis).value = said(peg[axis], us);
      trace();
    };
    svg.append(dot, name);
    put();
    dot.addEventListener("pointerdown", (down) => {
      down.preventDefault();
      dot.focus();
      dot.setPointerCapture(down.pointerId);
      const move = (event) => {
        const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
        const snap = us ? 0.0254 * 3 : 0.05;
        back([at.x, at.y]).forEach((v, axis) => { peg[axis] = Math.round(v / snap) * snap; });
        put();
      };
      dot.addEventListener("pointermove", move);
      dot.addEventListener("pointerup", () => {
        dot.removeEventListener("pointermove", move);
        save(`Peg ${k + 1} moved`);
      }, { once: true });
    });
    dot.addEventListener("keydown", (event) => {
      const step = (us ? 0.0127 : 0.01) * (event.shiftKey ? 10 : 1);
      const way = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
      if (!way) return;
      event.preventDefault();
      back(way.map((v) => v * step)).forEach((v, axis) => { peg[axis] += v; });
      put();
      soon(`Peg ${k + 1} moved`);
    });
  });

  for (const one of inputs) {
    one.addEventListener("change", () => {
      const value = bed[pegField].map((at) => [...at]);
      value[one.dataset.peg][one.dataset.axis] = one.value;
      set([{ path: `bed.${pegField}`, value }], `Peg ${Number(one.dataset.peg) + 1} measured`);
    });
  }
  for (const button of document.querySelectorAll("[data-remove-peg]")) {
    button.addEventListener("click", () => {
      const gone = Number(button.dataset.removePeg) + 1;
      pegs.splice(gone - 1, 1);
      const settings = [{ path: `bed.${pegField}`, value: pegs.map((at) => at.map((v) => said(v, us))) }];
      if (bed.sharp) settings.push({ path: "bed.sharp", value: bed.sharp.filter((k) => k !== gone).map((k) => (k > gone ? k - 1 : k)) });
      set(settings, `Peg ${gone} taken out`);
    });
  }
  on("add-peg", () => {
    const [a, b] = [pegs[pegs.length - 1], pegs[0]];
    const out = (us ? 0.3048 : 0.3) / Math.hypot(b[0] - a[0], b[1] - a[1]);
    set(withPeg(bed, pegField, [(a[0] + b[0]) / 2 + (b[1] - a[1]) * out, (a[1] + b[1]) / 2 - (b[0] - a[0]) * out], us), "A peg added");
  });
  const written = () => pegs.map((at) => at.map((v) => said(v, us)));
  on("smooth", () => set([{ path: "bed", value: { ...bed, shape: "curve", pegs: written(), corners: undefined } }], "A smooth line through the pegs"));
  on("straight", () => set([{ path: "bed", value: { ...bed, shape: "polygon", corners: written(), pegs: undefined, sharp: undefined } }], "Straight lines between the pegs"));
  on("to-pegs", () => {
    const { length, width, diameter, ...rest } = bed;
    const round = bed.shape !== "rectangle";
    const ring = outline(bed).filter((_, k) => !round || k % 9 === 0).map((at) => at.map((v) => said(v, us)));
    set([{ path: "bed", value: { ...rest, shape: round ? "curve" : "polygon", [round ? "pegs" : "corners"]: ring } }], "Set out by pegs");
  });
}

function on(id, act) {
  document.getElementById(id)?.addEventListener("click", act);
}

function element(name, attributes) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}

function centre(edge) {
  let area = 0, x = 0, y = 0;
  edge.forEach(([ax, ay], k) => {
    const [bx, by] = edge[(k + 1) % edge.length];
    const cross = ax * by - bx * ay;
    area += cross; x += (ax + bx) * cross; y += (ay + by) * cross;
  });
  return [x / (3 * area), y / (3 * area)];
}

function grid(svg, w, n, e, s, step, unit) {
  const lines = element("g", { class: "grid", "stroke-width": unit * 0.12 });
  for (let x = Math.ceil(w / step) * step; x <= e; x += step) lines.append(element("line", { x1: x, x2: x, y1: n, y2: s }));
  for (let y = Math.ceil(n / step) * step; y <= s; y += step) lines.append(element("line", { x1: w, x2: e, y1: y, y2: y }));
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

// A house, wall or tree where it stands, paced from the bed's middle; it can be dragged there, or
// moved by the arrow keys: left and right about the bed, up and down away from it and back.
function neighbour(svg, thing, n, [mx, my], unit, us, set) {
  if (thing.bearing === undefined || thing.distance === undefined) return;
  let bearing = degrees(thing.bearing), away = metres(thing.distance);
  const group = element("g", { class: "thing-group", "data-thing": n, tabindex: 0, role: "button" });
  const put = () => {
    group.replaceChildren(...pictured(thing, [mx, my], bearing, away, unit));
    group.setAttribute("aria-label", `${thing.name || thing.kind}, ${Math.round(bearing)} degrees from north, ${said(away, us)} away; arrow keys move it`);
  };
  const save = () => set([
    { path: `surroundings.${n}.bearing`, value: Math.round(bearing) % 360 },
    { path: `surroundings.${n}.distance`, value: said(away, us) },
  ], `The ${thing.name || thing.kind} moved`);
  put();
  svg.append(group);
  group.addEventListener("pointerdown", (down) => {
    down.preventDefault();
    group.focus();
    group.setPointerCapture(down.pointerId);
    let moved = false;
    const move = (event) => {
      const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
      bearing = (Math.atan2(at.x - mx, my - at.y) * 180) / Math.PI;
      bearing = (Math.round(bearing / 5) * 5 + 360) % 360;
      away = Math.max(Math.round(Math.hypot(at.x - mx, at.y - my) * 10) / 10, 0.1);
      moved = true;
      put();
    };
    group.addEventListener("pointermove", move);
    group.addEventListener("pointerup", () => {
      group.removeEventListener("pointermove", move);
      if (moved) save();
    }, { once: true });
  });
  let waiting = null;
  group.addEventListener("keydown", (event) => {
    const step = { ArrowRight: [5, 0], ArrowLeft: [-5, 0], ArrowUp: [0, 0.1], ArrowDown: [0, -0.1] }[event.key];
    if (!step) return;
    event.preventDefault();
    bearing = (bearing + step[0] + 360) % 360;
    away = Math.max(Math.round((away + step[1]) * 100) / 100, 0.1);
    put();
    clearTimeout(waiting);
    waiting = setTimeout(save, 700);
  });
}

// Corners of a box about a thing, so that the drawing has room for it.
function reach(thing, [mx, my]) {
  if (thing.bearing === undefined || thing.distance === undefined) return [];
  const angle = (degrees(thing.bearing) * Math.PI) / 180, away = metres(thing.distance);
  const [x, y] = [mx + Math.sin(angle) * away, my - Math.cos(angle) * away];
  const half = thing.kind === "building" ? metres(thing.depth ?? "4 m") : metres(thing.spread ?? "1 m") / 2;
  return [[x - half, y - half], [x + half, y + half]];
}

function pictured(thing, [mx, my], bearing, away, unit) {
  const angle = (bearing * Math.PI) / 180;
  const [x, y] = [mx + Math.sin(angle) * away, my - Math.cos(angle) * away];
  const round = thing.kind === "tree" || thing.kind === "shrub";
  const long = metres(thing.width ?? thing.length ?? "1 m");
  const deep = thing.kind === "building" ? metres(thing.depth ?? "4 m") : 0.2;
  const shape = round
    ? element("circle", { cx: x, cy: y, r: metres(thing.spread) / 2 })
    : element("rect", { x: x - long / 2, y: thing.kind === "building" ? y - deep : y - deep / 2, width: long, height: deep, transform: `rotate(${bearing} ${x} ${y})` });
  shape.setAttribute("class", `thing-shape ${thing.kind}`);
  shape.setAttribute("stroke-width", unit * 0.3);
  const name = element("text", { x, y: y - (round ? 0 : deep / 2 + unit), "font-size": unit * 2.6, "text-anchor": "middle", class: "thing-name" });
  name.textContent = thing.name || thing.kind;
  return [shape, name];
}
