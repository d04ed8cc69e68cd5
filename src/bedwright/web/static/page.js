// The sheets of a bed: what the gardener gave becomes a field where it stands; drifts have notes.
import { anew, ask, bed, change, on, resume, tell } from "./asks.js";
import { drawBed, metres, tapesMeet, withPeg } from "./bed.js";
import { drop, keep, kept, lay, scaled } from "./trace.js";

// --- fields: a click, or Enter, opens one in its place; Escape leaves it as it was

function control(button) {
  const { sort, options, now, help, label } = button.dataset;
  const choices = options ? options.split("|") : [];
  let made;
  if (sort === "choice" || sort === "yes_no") {
    made = document.createElement("select");
    const words = sort === "yes_no" ? ["yes", "no"] : choices;
    made.append(new Option("as usual", ""));
    for (const word of words) made.append(new Option(word, word, false, word === now));
  } else {
    made = document.createElement("input");
    made.value = now;
    made.placeholder = help;
    made.maxLength = 2000;
    if (button.dataset.path === "place.town") offerTowns(made);
  }
  made.setAttribute("aria-label", label);
  return made;
}

function choiceBoxes(button) {
  const box = document.createElement("fieldset");
  const legend = document.createElement("legend");
  legend.textContent = button.dataset.label;
  box.append(legend);
  const had = button.dataset.now.split(", ");
  for (const word of button.dataset.options.split("|")) {
    const label = document.createElement("label");
    const tick = document.createElement("input");
    tick.type = "checkbox";
    tick.value = word;
    tick.checked = had.includes(word);
    label.append(tick, ` ${word}`);
    box.append(label);
  }
  return box;
}

function open(button) {
  const several = button.dataset.sort === "choices";
  const field = several ? choiceBoxes(button) : control(button);
  const form = document.createElement("form");
  form.className = "open-field";
  const keep = document.createElement("button");
  keep.textContent = "save";
  const leave = document.createElement("button");
  leave.type = "button";
  leave.textContent = "cancel";
  form.append(field, keep, leave);
  if (button.dataset.help && !several) {
    const help = document.createElement("small");
    help.textContent = button.dataset.help;
    form.append(help);
  }
  button.hidden = true;
  button.after(form);
  (several ? field.querySelector("input") : field).focus();
  const shut = () => {
    form.remove();
    button.hidden = false;
    button.focus();
  };
  leave.addEventListener("click", shut);
  form.addEventListener("keydown", (event) => {
    if (event.key === "Escape") shut();
  });
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const text = several
      ? [...field.querySelectorAll("input:checked")].map((tick) => tick.value).join(", ")
      : field.value;
    if (text === button.dataset.now) return shut();
    try {
      await change([{ path: button.dataset.path, text }]);
      anew();
    } catch (error) {
      tell(error, several ? field.lastElementChild : field, button.dataset.path);
    }
  });
}

for (const button of document.querySelectorAll("button.field")) {
  button.addEventListener("click", () => open(button));
}

let towns = null;
function offerTowns(input) {
  const list = document.getElementById("towns") ?? document.createElement("datalist");
  list.id = "towns";
  document.body.append(list);
  input.setAttribute("list", "towns");
  input.addEventListener("input", () => {
    clearTimeout(towns);
    towns = setTimeout(async () => {
      const found = await fetch(`/api/towns?q=${encodeURIComponent(input.value)}`).then((a) => (a.ok ? a.json() : []));
      list.replaceChildren(...found.map((name) => new Option(name, name)));
    }, 120);
  });
}

// --- actions of the title block

const state = document.getElementById("state");
const stop = document.getElementById("stop");
const workOut = document.getElementById("work-out");

const STAGES = {
  waiting: "waiting for its turn",
  brief: "reading the brief",
  season: "the season and every kind's course through it",
  light: "sun and shade",
  ground: "the ground",
  planting: "which plants, and where",
  calendar: "the calendar",
  sheets: "drawing the sheets",
  variants: "two other plantings",
};

function listen() {
  const heard = new EventSource(`/api/beds/${bed}/progress`);
  stop.hidden = false;
  workOut.hidden = true;
  heard.onmessage = (event) => {
    const told = JSON.parse(event.data);
    if (told.what === "stage") {
      state.textContent = `working: ${STAGES[told.detail] ?? told.detail}`;
      return;
    }
    heard.close();
    stop.hidden = true;
    if (told.what === "done") {
      // The first plan is shown; later ones where the gardener is.
      if (!document.body.dataset.planned) return location.assign(`/beds/${bed}/planting`);
      return anew();
    }
    workOut.hidden = false;
    state.textContent = "not worked out";
    if (told.what === "faults") {
      tell({ faults: told.detail.map(([field, given, accepted]) => ({ field, given, accepted })) });
    } else if (told.detail !== "stopped") {
      tell(new Error(told.detail));
    }
  };
}

async function act(method, path, body, then) {
  try {
    await ask(method, path, body);
    then();
  } catch (error) {
    tell(error);
  }
}

if (bed) {
  workOut.addEventListener("click", () => act("POST", `/api/beds/${bed}/plan`, { on }, listen));
  stop.addEventListener("click", () => act("DELETE", `/api/beds/${bed}/plan`, undefined, () => {}));
  for (const way of ["undo", "redo"]) {
    document.getElementById(way).addEventListener("click", () => act("POST", `/api/beds/${bed}/${way}`, { on }, anew));
  }
  document.addEventListener("keydown", (event) => {
    const typing = event.target.matches("input, select, textarea");
    if (!typing && (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z") {
      event.preventDefault();
      document.getElementById(event.shiftKey ? "redo" : "undo").click();
    }
  });
  if ("working" in document.body.dataset) listen();
}

// --- the site: pegs and what stands around

async function set(settings, said) {
  try {
    await change(settings, said);
    anew();
  } catch (error) {
    tell(error);
  }
}

const board = document.getElementById("bed-drawing");
const tracing = document.getElementById("tracing");
const MOST_PICTURE = 50_000_000;

// A picture to trace: chosen, scaled by two clicks and a distance, kept in this browser.
function trace({ svg, room }) {
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
      picture = { blob, tall: height / width, where: { ...room } };
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
    if (!picture || event.target.closest(".peg, .thing-group")) return;
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
    spots = [...spots, at].slice(-2);
    told.value = spots.length === 2 ? "Two spots are taken: type their distance." : "One spot is taken; click the other.";
  });
  tracing.addEventListener("submit", async (event) => {
    event.preventDefault();
    const where = picture && spots.length === 2 ? scaled(picture.where, spots, metres(scale.value)) : null;
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

if (board) {
  if (tracing) board.addEventListener("drawn", (event) => trace(event.detail), { once: true });
  ask("GET", `/api/beds/${bed}`).then(async ({ brief }) => {
    const still = board.dataset.pegField ? [] : (await ask("GET", `/api/beds/${bed}/outline`)).edge;
    drawBed(board, brief, still, set);
  }).catch(tell);
}

for (const form of document.querySelectorAll(".add-row")) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const { rows, next } = form.dataset;
    const settings = [...new FormData(form)]
      .filter(([, text]) => text.trim())
      .map(([name, text]) => ({ path: `${rows}.${next}.${name}`, text }));
    try {
      await change(settings);
      anew();
    } catch (error) {
      tell(error, form.lastElementChild, rows);
    }
  });
}

for (const button of document.querySelectorAll("[data-go-back]")) {
  button.addEventListener("click", () => act("POST", `/api/beds/${bed}/revisions/${button.dataset.goBack}`, { on }, anew));
}

const THINGS = {
  building: { width: "10 m", depth: "7 m", height: "3 m", distance: "8 m" },
  wall: { length: "8 m", height: "1.8 m", distance: "3 m" },
  fence: { length: "8 m", height: "1.5 m", distance: "3 m" },
  hedge: { length: "8 m", height: "1.5 m", distance: "3 m" },
  tree: { spread: "5 m", height: "8 m", distance: "8 m" },
  shrub: { spread: "1.5 m", height: "1.5 m", distance: "3 m" },
};

for (const button of document.querySelectorAll("[data-add-thing]")) {
  const kind = button.dataset.addThing;
  button.addEventListener("click", () => {
    const n = document.querySelectorAll(".thing").length;
    set([{ path: `surroundings.${n}`, value: { kind, bearing: ["N", "E", "W", "S"][n % 4], ...THINGS[kind] } }], `A ${kind} added`);
  });
}
for (const button of document.querySelectorAll("[data-take-out]")) {
  button.addEventListener("click", () => set([{ path: button.dataset.takeOut, value: null }]));
}

// A peg by two tapes: from two pegs that are there, where the arcs meet on the side chosen.
const tapes = document.getElementById("tapes");
tapes?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const { from, to, first, second, side } = Object.fromEntries(new FormData(tapes));
  try {
    const { brief } = await ask("GET", `/api/beds/${bed}`);
    const pegs = brief.bed[board.dataset.pegField];
    const at = (k) => pegs[Number(k)].map(metres);
    const met = tapesMeet(at(from), at(to), metres(first), metres(second), side === "left");
    if (typeof met === "string") throw new Error(met);
    await change(withPeg(brief.bed, board.dataset.pegField, met, brief.units === "us"), "A peg by two tapes");
    anew();
  } catch (error) {
    tell(error, tapes.lastElementChild, "bed");
  }
});

// --- the planting: notes on drifts

const margin = document.querySelector(".margin");

function note(number) {
  const had = margin.querySelector(`[data-number="${number}"]`);
  const opener = document.querySelector(`[data-drift="${number}"]`);
  if (had) {
    had.remove();
    opener.setAttribute("aria-expanded", "false");
    mark(number, false);
    return;
  }
  const made = document.getElementById(`note-${number}`).content.firstElementChild.cloneNode(true);
  made.dataset.number = number;
  margin.prepend(made);
  opener.setAttribute("aria-expanded", "true");
  mark(number, true);
  made.querySelector(".close").addEventListener("click", () => {
    note(number);
    opener.focus();
  });
  const at = [made.dataset.atX, made.dataset.atY];
  const changes = (more, said) => set([{ path: `changes.${made.dataset.next}`, value: { at, ...more } }], said);
  const { kind, colour, name } = made.dataset;
  for (const verb of made.querySelectorAll("[data-verb]")) {
    verb.addEventListener("click", async () => {
      const { brief } = await fetch(`/api/beds/${bed}`).then((a) => a.json());
      made.dataset.next = (brief.changes ?? []).length;
      const wish = brief.wishes?.leave_out ?? [];
      const acts = {
        keep: () => changes({ grow: kind, colour }, `${name} stays where it is`),
        exchange: () => changes({ grow: verb.dataset.kind, colour: verb.dataset.colour }, `${verb.textContent} in place of ${name}`),
        more: () => changes({ size: 1.3 }, `More ${name}`),
        less: () => changes({ size: 0.75 }, `Less ${name}`),
        never: () => set([{ path: "wishes.leave_out", value: [...wish, kind] }], `Never ${name}`),
      };
      acts[verb.dataset.verb]();
    });
  }
  made.querySelector("form.other")?.addEventListener("submit", async (event) => {
    event.preventDefault();
    const { brief } = await fetch(`/api/beds/${bed}`).then((a) => a.json());
    made.dataset.next = (brief.changes ?? []).length;
    const field = event.target.elements.kind;
    try {
      await change([{ path: `changes.${made.dataset.next}`, value: { at, grow: field.value } }], `${field.value} in place of ${name}`);
      anew();
    } catch (error) {
      tell(error, field, "changes");
    }
  });
  made.querySelector("button").focus();
}

function mark(number, marked) {
  document.getElementById(`drift-${number}`)?.classList.toggle("chosen", marked);
}

if (margin) {
  for (const button of document.querySelectorAll("[data-drift]")) {
    button.addEventListener("click", () => note(Number(button.dataset.drift)));
  }
  document.getElementById("planting-drawing").addEventListener("click", (event) => {
    // The pointer may be over a plant's symbol: look through to the drift beneath.
    const under = document.elementsFromPoint(event.clientX, event.clientY).find((one) => one.id.startsWith("drift-"));
    if (under) note(Number(under.id.slice(6)));
  });
}

document.getElementById("why-not")?.addEventListener("submit", async (event) => {
  event.preventDefault();
  const said = event.target.querySelector("output");
  try {
    said.value = (await ask("GET", `/api/beds/${bed}/why-not?kind=${encodeURIComponent(event.target.elements.kind.value)}`)).words;
  } catch (error) {
    said.value = error.message;
  }
});

document.getElementById("lay-variants")?.addEventListener("click", () => act("POST", `/api/beds/${bed}/variants`, { on }, listen));
for (const button of document.querySelectorAll("[data-variant]")) {
  button.addEventListener("click", () => set([{ path: "wishes.variant", value: Number(button.dataset.variant) }], `Planting ${button.dataset.variant} of the three`));
}

// --- through the year: one slider moves the view by fortnights

const views = document.getElementById("views");
if (views) {
  const list = JSON.parse(views.dataset.views);
  const slider = document.getElementById("fortnight");
  const show = () => {
    const { file, caption } = list[slider.value];
    views.querySelector("img").src = views.dataset.folder + file;
    views.querySelector("img").alt = caption;
    views.querySelector("figcaption").textContent = caption;
    slider.setAttribute("aria-valuetext", caption);
  };
  slider.addEventListener("input", show);
  slider.setAttribute("aria-valuetext", list[slider.value].caption);
}

// --- kinds are offered by name

const kinds = document.getElementById("kinds");
if (kinds) {
  ask("GET", "/api/kinds")
    .then((names) => kinds.append(...names.map((name) => new Option(name, name))))
    .catch(() => {}); // without the list a name is typed whole
}

document.getElementById("print")?.addEventListener("click", () => window.print());

resume();

// --- the shelf

const begin = document.getElementById("begin");
if (begin) {
  offerTowns(begin.elements.town);
  begin.addEventListener("submit", async (event) => {
    event.preventDefault();
    const { town, shape, units, title } = Object.fromEntries(new FormData(begin));
    try {
      const made = await ask("POST", "/api/beds", { town, shape, units, title });
      location.assign(`/beds/${made.bed}/site`);
    } catch (error) {
      tell(error, begin.elements.town, "place.town");
    }
  });
  // A copy is a bed of its own, with the brief as it now stands and none of the revisions before it.
  for (const button of document.querySelectorAll("[data-copy]")) {
    button.addEventListener("click", async () => {
      try {
        const answer = await fetch(`/api/beds/${button.dataset.copy}/brief.toml`);
        if (!answer.ok) throw new Error("The bed's brief could not be read.");
        const made = await ask("POST", "/api/briefs", { toml: await answer.text() });
        location.assign(`/beds/${made.bed}/site`);
      } catch (error) {
        tell(error, button, "brief");
      }
    });
  }

  const takeIn = document.getElementById("take-in");
  takeIn.addEventListener("submit", async (event) => {
    event.preventDefault();
    const [file] = takeIn.elements.toml.files;
    try {
      if (file.size > 250_000) throw new Error("A brief is a TOML file of up to 0.25 MB.");
      const made = await ask("POST", "/api/briefs", { toml: await file.text() });
      location.assign(`/beds/${made.bed}/site`);
    } catch (error) {
      tell(error, takeIn.elements.toml, "brief");
    }
  });
}
