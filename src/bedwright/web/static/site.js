// The site: the bed drawn to scale with the sun on it, what stands around, a picture to trace.
import { act, ask, bed, on, reload, set, tell } from "./asks.js";
import { drawBed } from "./bed.js";
import { drop, keep, kept, lay, scaled } from "./trace.js";

const board = document.getElementById("bed-drawing");
const tracing = document.getElementById("tracing");
const MOST_PICTURE = 50_000_000;

// The sun on the bed follows what moves: one question at a time, and the latest once it is answered.
function sunlight(drawn, month, words) {
  let [asked, next] = [false, null];
  const follow = async (settings) => {
    if (month.value === "0") {
      drawn.dull();
      words.textContent = "";
      return;
    }
    next = settings;
    if (asked) return;
    asked = true;
    while (next !== null) {
      const now = next;
      next = null;
      try {
        const body = { settings: now, ...(month.value ? { month: Number(month.value) } : {}) };
        words.textContent = drawn.shine(await ask("POST", `/api/beds/${bed}/sun`, body));
      } catch (error) {
        drawn.dull(); // an outline that crosses itself, for as long as it does
        words.textContent = error.message || "";
      }
    }
    asked = false;
  };
  let latest = [];
  month.addEventListener("change", () => follow(latest));
  return (settings) => {
    latest = settings;
    return follow(settings);
  };
}

// A picture to trace: chosen, scaled by two clicks and a distance, kept in this browser.
function trace({ svg, room }, units) {
  const told = tracing.querySelector("output");
  const scale = tracing.querySelector("[name=known]");
  let [picture, laid] = [null, null];
  kept(bed).then((found) => {
    if (!found || picture) return; // another was chosen meanwhile
    picture = found;
    laid = lay(svg, picture);
    tracing.querySelector(".scaling").hidden = false;
  });
  tracing.querySelector("[type=file]").addEventListener("change", async (event) => {
    const [blob] = event.target.files;
    if (!blob) return;
    if (blob.size > MOST_PICTURE) {
      told.value = "That picture is larger than 50 MB; a smaller copy will do.";
      return;
    }
    try {
      const { width, height } = await createImageBitmap(blob);
      picture = { blob, tall: height / width, where: { left: room.left, top: room.top, wide: room.wide } };
      await keep(bed, picture);
      laid?.image.remove();
      laid = lay(svg, picture);
      tracing.querySelector(".scaling").hidden = false;
      told.value = "Now click two spots on the picture whose distance you know.";
    } catch {
      told.value = "That file is no picture that this browser can show.";
    }
  });
  let spots = [];
  svg.addEventListener("click", (event) => {
    if (!picture || event.target.closest(".peg, .thing-group, .hand, .onlooker, .length")) return;
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    spots = [...spots, at].slice(-2);
    told.value = spots.length === 2 ? "Two spots are taken: type their distance." : "One spot is taken; click the other.";
  });
  tracing.addEventListener("submit", async (event) => {
    event.preventDefault();
    let where = null;
    try {
      const { m } = await ask("GET", `/api/length?text=${encodeURIComponent(scale.value)}&units=${units}`);
      if (picture && spots.length === 2) where = scaled(picture.where, spots, m);
    } catch (error) {
      if (!error.faults?.length) return tell(error);
    }
    if (!where) {
      told.value = "Click two spots on the picture, and type their distance with its unit, such as 3 m.";
      return;
    }
    Object.assign(picture.where, where);
    laid.put();
    await keep(bed, picture);
    spots = [];
    told.value = "The picture is to scale. Set the pegs over it.";
  });
  tracing.querySelector("[name=away]").addEventListener("click", async () => {
    await drop(bed);
    laid?.image.remove();
    [picture, laid, spots] = [null, null, []];
    tracing.querySelector(".scaling").hidden = true;
    told.value = "The picture is gone.";
  });
}

// A length of the drawing is typed in a form below it, which says what will move.
function typeLength({ path, label, peg, next, now, mark }) {
  const form = document.getElementById("length");
  const [typed] = form.elements;
  form.hidden = false;
  form.querySelector(".fault")?.remove();
  typed.removeAttribute("aria-invalid");
  form.querySelector("label span").textContent = path ? label : `Peg ${peg} to peg ${next}`;
  form.querySelector("small").textContent = path ? "" : `Peg ${next} moves, along the line from peg ${peg}.`;
  typed.value = now;
  typed.select();
  typed.focus();
  form.onsubmit = (event) => {
    event.preventDefault();
    if (path) act("POST", `/api/beds/${bed}/changes`, { on, settings: [{ path, text: typed.value }] }, undefined, typed, path);
    else act("POST", `/api/beds/${bed}/pegs/${peg}/distance`, { on, length: typed.value }, undefined, typed, "length");
  };
  const shut = () => {
    form.hidden = true;
    mark.focus();
  };
  form.elements.leave.onclick = shut;
  form.onkeydown = (event) => {
    if (event.key === "Escape") shut();
  };
}

// The pegs at which a smooth line turns sharply, instead.
for (const tick of document.querySelectorAll("[data-sharp]")) {
  tick.addEventListener("change", () => {
    const sharp = [...document.querySelectorAll("[data-sharp]:checked")].map((one) => Number(one.dataset.sharp));
    set([{ path: "bed.sharp", value: sharp.length ? sharp : null }]);
  });
}

if (board) {
  ask("GET", `/api/beds/${bed}`).then((found) => {
    board.addEventListener("drawn", (event) => trace(event.detail, found.brief.units ?? "metric"), { once: true });
    const nearer = document.getElementById("nearer");
    const kept = `near-${bed}`;
    let follow = () => {};
    const hear = { moves: (settings) => follow(settings), moved: set, length: typeLength };
    const near = sessionStorage.getItem(kept) !== null;
    nearer.textContent = near ? "What stands around, too" : "The bed alone, larger";
    nearer.addEventListener("click", () => {
      if (near) sessionStorage.removeItem(kept);
      else sessionStorage.setItem(kept, "1");
      reload();
    });
    const drawn = drawBed(board, found, hear, near);
    follow = sunlight(drawn, document.getElementById("sun-month"), document.getElementById("sun-words"));
    follow([]);
  }).catch(tell);
}

for (const button of document.querySelectorAll("[data-add-thing]")) {
  button.addEventListener("click", () => act("POST", `/api/beds/${bed}/things`, { on, kind: button.dataset.addThing }));
}
for (const button of document.querySelectorAll("[data-remove-peg]")) {
  button.addEventListener("click", () => act("DELETE", `/api/beds/${bed}/pegs/${button.dataset.removePeg}?on=${on}`));
}
for (const button of document.querySelectorAll("[data-by-pegs]")) {
  button.addEventListener("click", () => act("POST", `/api/beds/${bed}/outline`, { on, smooth: button.dataset.byPegs === "smooth" }));
}
document.getElementById("add-peg")?.addEventListener("click", () => act("POST", `/api/beds/${bed}/pegs`, { on }));

// A peg by two tapes: from two pegs that are there, where the arcs meet on the side chosen.
const tapes = document.getElementById("tapes");
tapes?.addEventListener("submit", (event) => {
  event.preventDefault();
  const { from, to, first, second, side } = Object.fromEntries(new FormData(tapes));
  const given = { pegs: [Number(from), Number(to)], lengths: [first, second], left: side === "left" };
  act("POST", `/api/beds/${bed}/pegs`, { on, tapes: given }, undefined, tapes.lastElementChild, "bed");
});
