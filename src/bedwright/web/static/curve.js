// Lengths as one types them, and the smooth line through pegs.

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
