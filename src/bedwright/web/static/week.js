// This week's list: what moved, what there is to do, and a tap that writes down what is done.
import { ask, bed, reload, sentence, tell } from "./asks.js";
import { keepTap, newId, today } from "./journal.js";

const box = document.getElementById("week");
const AGAIN_MS = 1500;
const SHOWN = 6; // of what the garden says; the others open

const made = (name, text = "", more = {}) => Object.assign(document.createElement(name), { textContent: text }, more);

function list(sentences, className) {
  const ul = made("ul", "", { className });
  ul.append(...sentences.map((words) => made("li", sentence(words))));
  return ul;
}

function line(row) {
  const item = made("li", "", { className: row.wait ? "wait" : "" });
  const what = made("span", "", { className: "words-of" });
  what.append(made("strong", row.what), `: ${row.when}`);
  for (const note of row.notes) what.append(made("small", note));
  const taps = made("span", "", { className: "row" });
  const tap = (label, needed) => {
    const button = made("button", label, { type: "button" });
    button.setAttribute("aria-label", `${label}: ${row.what}`);
    button.addEventListener("click", () => write(row, needed, button));
    return button;
  };
  taps.append(tap("done", true), " ", tap("not needed", false));
  item.append(what, taps);
  return item;
}

async function write(row, needed, button) {
  const one = { id: newId(), work: row.key, needed, typed: today(), line: `${row.what} (${needed ? "done" : "not needed"})` };
  button.disabled = true;
  try {
    await ask("POST", `/api/beds/${bed}/week`, { work: one.work, needed: one.needed, id: one.id, typed: one.typed });
    reload();
  } catch (error) {
    button.disabled = false;
    if (error.status && error.status !== 403) return tell(error, button);
    keepTap(one);
    button.closest("li").remove();
  }
}

function show({ grown, moved, second, parts }) {
  const shown = [];
  if (!grown) {
    shown.push(made("p", "Once a plan is kept as the one that this bed is grown by, what there is to do each week stands here, worked out again from what you write.", { className: "blank" }));
  } else {
    shown.push(made("h3", "What moved, and why"), list(moved, "moved"));
    if (second.length) shown.push(made("h3", "Too few stand"), list(second, "moved"));
    for (const { heading, rows } of parts) {
      shown.push(made("h3", heading));
      const ul = made("ul", "", { className: "entries" });
      ul.append(...rows.map(line));
      shown.push(ul);
    }
    if (!parts.length) shown.push(made("p", "Nothing is due this week."));
  }
  box.replaceChildren(...shown);
}

async function load() {
  try {
    const found = await ask("GET", `/api/beds/${bed}/week`);
    show(found);
    box.setAttribute("aria-busy", String(!found.fresh));
    if (!found.fresh) setTimeout(load, AGAIN_MS);
  } catch (error) {
    box.replaceChildren(made("p", error.status ? error.message : "The server is out of reach: the list comes when it is back."));
  }
}

async function lessons() {
  const said = document.getElementById("lessons");
  const found = await ask("GET", `/api/beds/${bed}/learned`).catch(() => []);
  said.hidden = found.length === 0;
  if (!found.length) return;
  said.append(list(found.slice(0, SHOWN), ""));
  if (found.length > SHOWN) {
    const more = made("details");
    more.append(made("summary", `${found.length - SHOWN} more`), list(found.slice(SHOWN), ""));
    said.append(more);
  }
}

function table(heads, rows, caption) {
  const frame = made("div", "", { className: "wide", tabIndex: 0 });
  frame.setAttribute("role", "group");
  frame.setAttribute("aria-label", caption);
  const grid = made("table", "", { className: "ruled" });
  const row = (cells, name) => {
    const tr = made("tr");
    tr.append(...cells.map((cell) => made(name, cell)));
    return tr;
  };
  grid.append(made("caption", caption), row(heads, "th"), ...rows.map((cells) => row(cells, "td")));
  frame.append(grid);
  return frame;
}

async function years() {
  const said = document.getElementById("years");
  const found = await ask("GET", `/api/beds/${bed}/years`).catch(() => ({ rows: [] }));
  said.hidden = found.rows.length === 0;
  if (said.hidden) return;
  said.append(table(found.heads, found.rows, "Each bed in each year, by the plan it was grown by and by what was written"));
  if (found.count) {
    said.append(
      table(found.kept_heads, found.kept, "Forecasts with odds, and how often they came true"),
      made("p", `Brier score ${found.brier} of ${found.count} forecasts: 0 without a fault, 0.25 for a coin.`),
    );
  }
}

if (box) {
  load();
  years();
  lessons();
}
