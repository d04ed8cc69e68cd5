// Dimension lines: the lengths of the bed, each of which can be chosen and typed.
import { written } from "./curve.js";
import { element } from "./marks.js";

const OUT = 4; // how far from the edge a length stands, in units of the drawing
const LEAST = 8; // the least that is measured beside its own figures, in the same
const STEPS = 16; // points of a smooth line from one peg to the next
const WHOLE = { rectangle: ["length", "width"], ellipse: ["length", "width"], circle: ["diameter"] };

// ``choose`` is told which length: its ``path`` in the brief, or the ``peg`` from which it runs to
// the next; how it reads now; and the mark that was chosen.
export function lengths(plot, bed, choose) {
  if (plot.measured.field) plot.measured.pegs.forEach((_, k) => betweenPegs(plot, k, bed.shape === "curve", choose));
  for (const [axis, name] of (WHOLE[bed.shape] ?? []).entries()) acrossAll(plot, axis, name, bed[name], choose);
}

// The way from one peg to the next, straight, as a tape measures it.
function betweenPegs(plot, k, curved, choose) {
  const { measured: { pegs }, unit, us } = plot;
  const next = (k + 1) % pegs.length;
  const word = figures(plot, () => {
    const [a, b] = [pegs[k], pegs[next]];
    const apart = Math.hypot(b[0] - a[0], b[1] - a[1]);
    const [middle, way] = beside(plot, k, curved);
    const [x, y] = plot.placed(middle);
    const [right, down] = plot.placed(way);
    return {
      at: [x + right * 5 * unit, y + down * 2.6 * unit], // figures are wider than high
      text: apart >= LEAST * unit ? written(apart, us) : "",
      label: `Peg ${k + 1} to peg ${next + 1}`,
    };
  });
  chosen(word, () => choose({ peg: k + 1, next: next + 1, now: word.textContent, mark: word }));
}

// The middle of the edge from one peg to the next, and which way is out of the bed there.
function beside(plot, k, curved) {
  const { pegs } = plot.measured;
  const line = plot.shape();
  const [a, b] = [pegs[k], pegs[(k + 1) % pegs.length]];
  const middle = curved ? line[k * STEPS + STEPS / 2] : [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const turned = line.reduce((sum, [x, y], n) => {
    const [u, v] = line[(n + 1) % line.length];
    return sum + x * v - u * y;
  }, 0);
  const far = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
  const sign = turned > 0 ? 1 : -1;
  return [middle, [(sign * (b[1] - a[1])) / far, (-sign * (b[0] - a[0])) / far]];
}

// The whole bed along its base line (axis 0) or across it, as the gardener wrote it.
function acrossAll(plot, axis, name, now, choose) {
  const { unit, measured: { edge } } = plot;
  const ends = [0, 1].map((one) => [Math.min(...edge.map((at) => at[one])), Math.max(...edge.map((at) => at[one]))]);
  const off = ends[1 - axis][0] - OUT * unit;
  const spot = (along, beyond = 0) => plot.placed(axis === 0 ? [along, off + beyond] : [off + beyond, along]);
  const line = element("path", { class: "dimension", "stroke-width": unit * 0.25 });
  plot.svg.append(line);
  plot.follows(() => {
    const [from, to] = ends[axis];
    const ticks = [from, to].map((at) => `M${spot(at, -unit)} L${spot(at, unit * (OUT - 1))}`);
    line.setAttribute("d", `M${spot(from)} L${spot(to)} ${ticks.join(" ")}`);
  });
  const label = `${name[0].toUpperCase()}${name.slice(1)}`;
  const word = figures(plot, () => ({ at: spot((ends[axis][0] + ends[axis][1]) / 2, -1.6 * unit), text: now, label }));
  chosen(word, () => choose({ path: `bed.${name}`, label, now, mark: word }));
}

function figures(plot, found) {
  const word = element("text", { class: "length", role: "button", "font-size": plot.unit * 2.4, "text-anchor": "middle" });
  plot.svg.append(word);
  plot.follows(() => {
    const { at: [x, y], text, label } = found();
    word.setAttribute("x", x);
    word.setAttribute("y", y + plot.unit * 0.8);
    word.textContent = text;
    word.setAttribute("aria-label", `${label}: ${text}; change`);
    word.setAttribute("data-length", label);
    if (text) word.setAttribute("tabindex", 0);
    else word.removeAttribute("tabindex");
    word.setAttribute("display", text ? "inline" : "none");
  });
  return word;
}

function chosen(word, choose) {
  word.addEventListener("click", choose);
  word.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault();
    choose();
  });
}
