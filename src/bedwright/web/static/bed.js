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

function said(length, us) {
  if (!us) return `${Math.round(length * 100) / 100} m`;
  const inches = Math.round(Math.abs(length) / 0.0254 * 2) / 2;
  const feet = Math.floor(inches / 12);
  const words = feet ? `${feet} ft${inches % 12 ? ` ${inches % 12} in` : ""}` : `${inches} in`;
  return length < 0 ? `-${words}` : words;
}

// A closed centripetal Catmull-Rom curve through the pegs, as the plan has it.
export function smooth(pegs, steps = 16) {
  const n = pegs.length, out = [];
  for (let i = 0; i < n; i++) {
    const p = [-1, 0, 1, 2].map((k) => pegs[(i + k + n) % n]);
    const t = [0];
    for (let k = 1; k < 4; k++) t.push(t[k - 1] + Math.max(Math.hypot(p[k][0] - p[k - 1][0], p[k][1] - p[k - 1][1]) ** 0.5, 1e-6));
    for (let s = 0; s < steps; s++) {
      const at = t[1] + ((t[2] - t[1]) * s) / steps;
      const mix = (a, b, ta, tb) => [0, 1].map((c) => ((tb - at) * a[c] + (at - ta) * b[c]) / (tb - ta));
      const a1 = mix(p[0], p[1], t[0], t[1]), a2 = mix(p[1], p[2], t[1], t[2]), a3 = mix(p[2], p[3], t[2], t[3]);
      out.push(mix(mix(a1, a2, t[0], t[2]), mix(a2, a3, t[1], t[3]), t[1], t[2]));
    }
  }
  return out;
}

export function outline(bed) {
  const ring = (rx, ry, cx, cy) => Array.from({ length: 72 }, (_, k) => [cx + rx * Math.cos((k * Math.PI) / 36), cy + ry * Math.sin((k * Math.PI) / 36)]);
  const size = (name) => metres(bed[name]);
  const places = (name) => (bed[name] ?? []).filter(Array.isArray).map((at) => at.map(metres));
  switch (bed.shape) {
    case "rectangle": return [[0, 0], [size("length"), 0], [size("length"), size("width")], [0, size("width")]];
    case "ellipse": return ring(size("length") / 2, size("width") / 2, size("length") / 2, 0);
    case "circle": return ring(size("diameter") / 2, size("diameter") / 2, size("diameter") / 2, 0);
    case "curve": return smooth(places("pegs"));
    case "polygon": return places("corners");
    default: return [];
  }
}

export function drawBed(board, brief, set) {
  const { bed } = brief;
  const us = brief.units === "us";
  const pegField = board.dataset.pegField;
  const pegs = pegField ? bed[pegField].map((at) => at.map(metres)) : [];
  const turn = ((degrees(bed.bearing) - 90) * Math.PI) / 180;
  // From the bed's frame (x along the base line, y to its left) to north up, y down.
  const placed = ([x, y]) => [x * Math.cos(turn) + y * Math.sin(turn), x * Math.sin(turn) - y * Math.cos(turn)];
  const back = ([e, s]) => [e * Math.cos(turn) + s * Math.sin(turn), e * Math.sin(turn) - s * Math.cos(turn)];
  const shape = () => (bed.shape === "curve" ? smooth(pegs) : bed.shape === "polygon" ? pegs : outline(bed));

  const edge = shape().map(placed);
  if (!edge.length) return;
  const all = edge.map(([e]) => e), down = edge.map(([, s]) => s);
  const [w, e, n, s] = [Math.min(...all), Math.max(...all), Math.min(...down), Math.max(...down)];
  const margin = Math.max(e - w, s - n) * 0.35 + 0.5;
  const svg = element("svg", { viewBox: `${w - margin} ${n - margin} ${e - w + 2 * margin} ${s - n + 2 * margin}`, role: "group", "aria-label": "The bed from above" });
  const unit = (e - w + 2 * margin) / 120;
  grid(svg, w - margin, n - margin, e + margin, s + margin, us ? 0.3048 : 0.5, unit);
  const middle = centre(edge);
  for (const thing of brief.surroundings ?? []) neighbour(svg, thing, middle, unit);
  const line = element("polygon", { class: "edge", "stroke-width": unit * 0.5 });
  svg.append(line);
  north(svg, e + margin - 5 * unit, n - margin + 8 * unit, unit);
  const trace = () => line.setAttribute("points", shape().map(placed).map((at) => at.map((v) => v.toFixed(3)).join(",")).join(" "));
  trace();
  board.replaceChildren(svg);

  const inputs = [...document.querySelectorAll("#pegs input")];
  const cell = (k, axis) => inputs.find((one) => Number(one.dataset.peg) === k && Number(one.dataset.axis) === axis);
  const save = (words) => set([{ path: `bed.${pegField}`, value: pegs.map((at) => at.map((v) => said(v, us))) }], words);
  let waiting = null;
  const soon = (words) => {
    clearTimeout(waiting);
    waiting = setTimeout(() => save(words), 700);
  };

  pegs.forEach((peg, k) => {
    const dot = element("circle", { class: "peg", r: unit * 1.3, tabindex: 0, role: "button", "aria-label": `Peg ${k + 1}; arrow keys move it` });
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
      pegs.splice(Number(button.dataset.removePeg), 1);
      save(`Peg ${Number(button.dataset.removePeg) + 1} taken out`);
    });
  }
  on("add-peg", () => {
    const [a, b] = [pegs[pegs.length - 1], pegs[0]];
    pegs.push([(a[0] + b[0]) / 2 + 0.2, (a[1] + b[1]) / 2 + 0.2]);
    save("A peg added");
  });
  const written = () => pegs.map((at) => at.map((v) => said(v, us)));
  on("smooth", () => set([{ path: "bed", value: { ...bed, shape: "curve", pegs: written(), corners: undefined } }], "A smooth line through the pegs"));
  on("straight", () => set([{ path: "bed", value: { ...bed, shape: "polygon", corners: written(), pegs: undefined } }], "Straight lines between the pegs"));
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

function neighbour(svg, thing, [mx, my], unit) {
  if (thing.bearing === undefined || thing.distance === undefined) return;
  const angle = (degrees(thing.bearing) * Math.PI) / 180;
  const away = metres(thing.distance);
  const [x, y] = [mx + Math.sin(angle) * away, my - Math.cos(angle) * away];
  const round = thing.kind === "tree" || thing.kind === "shrub";
  const long = metres(thing.width ?? thing.length ?? "1 m");
  const deep = thing.kind === "building" ? metres(thing.depth ?? "4 m") : 0.2;
  const shape = round
    ? element("circle", { cx: x, cy: y, r: metres(thing.spread) / 2 })
    : element("rect", { x: x - long / 2, y: thing.kind === "building" ? y - deep : y - deep / 2, width: long, height: deep, transform: `rotate(${degrees(thing.bearing)} ${x} ${y})` });
  shape.setAttribute("class", `thing-shape ${thing.kind}`);
  shape.setAttribute("stroke-width", unit * 0.3);
  const name = element("text", { x, y: y - (round ? 0 : deep / 2 + unit), "font-size": unit * 2.6, "text-anchor": "middle", class: "thing-name" });
  name.textContent = thing.name || thing.kind;
  svg.append(shape, name);
}
