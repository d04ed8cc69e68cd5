// How a plan goes on: its stage in the title block until it is done, stopped or at fault.
import { act, bed, goOn, on, reload } from "./asks.js";

const state = document.getElementById("state");
const stop = document.getElementById("stop");
const workOut = document.getElementById("work-out");

let heard = null;

export function listen() {
  heard?.close(); // a browser holds few connections to one server
  heard = new EventSource(`/api/beds/${bed}/progress`);
  stop.hidden = false;
  workOut.hidden = true;
  heard.onmessage = (event) => {
    const told = JSON.parse(event.data);
    if (told.what === "stage") {
      state.textContent = `working: ${told.words}`;
      return;
    }
    heard.close();
    // The first plan is shown; what comes of later ones, and what went wrong, where the gardener is.
    if (told.what === "done" && !document.body.dataset.planned) location.assign(`/beds/${bed}/planting`);
    else reload();
  };
}

// After a change whose plan is being made: the sheet stays until that is done.
export function follow(made) {
  if (made.planned) return reload();
  goOn(made.on);
  state.textContent = "working";
  listen();
}

if (bed) {
  workOut.addEventListener("click", () => act("POST", `/api/beds/${bed}/plan`, { on }, listen));
  stop.addEventListener("click", () => act("DELETE", `/api/beds/${bed}/plan`, undefined, () => {})); // and hears of it
  if ("working" in document.body.dataset) listen();
}
