// A weather record's file, whose days go into the journal.  Days that differ are shown, and the
// record's readings are taken only when that is asked for.
import { ask, bed, reload, sentence, tell } from "./asks.js";

const MOST_BYTES = 40_000_000;
const SHOWN = 20;

const form = document.getElementById("record");
const told = document.getElementById("recorded");
const element = (name, words) => Object.assign(document.createElement(name), { textContent: words });
const paragraph = (words) => element("p", sentence(words));

async function add(file, since, replace, button) {
  const named = button.textContent;
  button.disabled = true;
  button.textContent = "Adding …";
  if (!replace) told.replaceChildren();
  const asked = new URLSearchParams({ name: file.name.slice(0, 200), replace });
  if (since) asked.set("since", since);
  try {
    if (file.size > MOST_BYTES) throw new Error(`The file has ${(file.size / 1e6).toFixed(1)} MB; accepted: a daily record of up to ${MOST_BYTES / 1e6} MB.`);
    const made = await ask("POST", `/api/beds/${bed}/record?${asked}`, file);
    form.querySelector(".fault")?.remove();
    show(made, file, since);
  } catch (error) {
    tell(error, form.elements.file, "record");
  }
  button.textContent = named;
  button.disabled = false;
}

function show({ added, understood, differences, days_differ: days, corrected, remarks }, file, since) {
  const said = [understood, ...remarks].map(paragraph);
  if (differences.length && !corrected) {
    const list = document.createElement("ul");
    list.append(...differences.slice(0, SHOWN).map((words) => element("li", words)));
    if (differences.length > SHOWN) list.append(element("li", `and ${differences.length - SHOWN} readings more`));
    const take = Object.assign(element("button", `Take the record's readings for ${days === 1 ? "this day" : `these ${days} days`}`), { type: "button" });
    take.addEventListener("click", () => add(file, since, true, take));
    said.push(list, take, " ", element("small", "What the journal has now stays in its history."));
  } else if (added || differences.length) {
    sessionStorage.setItem("recorded", JSON.stringify([understood, ...remarks]));
    return reload();
  }
  told.replaceChildren(...said);
}

if (form) {
  const before = sessionStorage.getItem("recorded");
  sessionStorage.removeItem("recorded");
  if (before) told.append(...JSON.parse(before).map(paragraph));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    add(form.elements.file.files[0], form.elements.since.value, false, form.querySelector("[type=submit]"));
  });
}
