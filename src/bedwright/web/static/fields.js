// Fields: a click, or Enter, opens one in its place; Escape leaves it as it was.
import { change, reload, tell } from "./asks.js";

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
      reload();
    } catch (error) {
      tell(error, several ? field.lastElementChild : field, button.dataset.path);
    }
  });
}

for (const button of document.querySelectorAll("button.field")) {
  button.addEventListener("click", () => open(button));
}

// Rows are added to a list of tables, and measures to a list of measures.
for (const form of document.querySelectorAll(".add-row, .add-measure")) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const measures = form.matches(".add-measure");
    const { path } = form.dataset;
    const typed = [...new FormData(form)]
      .filter(([, text]) => text.trim())
      .map(([name, text]) => ({ path: `${path}.${name}`, text }));
    try {
      await change(measures ? [{ path, value: [] }, ...typed] : typed);
      reload();
    } catch (error) {
      tell(error, form.lastElementChild, path);
    }
  });
}
for (const cell of document.querySelectorAll("[data-cell]")) {
  cell.addEventListener("change", async () => {
    try {
      await change([{ path: cell.dataset.cell, text: cell.value }]);
      reload();
    } catch (error) {
      tell(error, cell, cell.dataset.cell);
    }
  });
}

let towns = null;
export function offerTowns(input) {
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

