// The planting: notes on drifts, three plantings side by side.
import { act, ask, bed, on, set } from "./asks.js";
import { follow, listen } from "./progress.js";

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
  const argue = (given, field = null) => act("POST", `/api/beds/${bed}/drifts/${number}`, { on, ...given }, follow, field, "changes");
  for (const verb of made.querySelectorAll("[data-verb]")) {
    const { verb: wish, kind, colour } = verb.dataset;
    verb.addEventListener("click", () => argue({ act: wish, ...(kind ? { kind, colour } : {}) }, verb));
  }
  for (const form of made.querySelectorAll("form.ask")) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const { kind, colour, number: other } = Object.fromEntries(new FormData(form));
      argue({ act: form.dataset.act, kind, colour, ...(other ? { number: Number(other) } : {}) }, form.elements[0]);
    });
  }
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

