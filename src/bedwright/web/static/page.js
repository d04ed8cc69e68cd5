// The page: what every sheet has, and the list of beds.
import { act, ask, bed, on, reload, resume, set, tell } from "./asks.js";
import { offerTowns } from "./fields.js";
import "./journal.js";
import "./week.js";
import "./planting.js";
import "./progress.js";
import "./record.js";
import "./site.js";

if (bed) {
  for (const way of ["undo", "redo"]) {
    document.getElementById(way).addEventListener("click", () => act("POST", `/api/beds/${bed}/${way}`, { on }));
  }
  document.addEventListener("keydown", (event) => {
    const typing = event.target.matches("input, select, textarea");
    if (!typing && (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z") {
      event.preventDefault();
      document.getElementById(event.shiftKey ? "redo" : "undo").click();
    }
  });
}
for (const button of document.querySelectorAll("[data-go-back]")) {
  button.addEventListener("click", () => act("POST", `/api/beds/${bed}/revisions/${button.dataset.goBack}`, { on }));
}
for (const button of document.querySelectorAll("[data-take-out]")) {
  button.addEventListener("click", () => set([{ path: button.dataset.takeOut, value: null }]));
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

// Pictures follow a plan's sheets, after some seconds; those of an earlier plan are made when asked for.
if (document.getElementById("views-to-come")) {
  const wait = () => ask("GET", `/api/beds/${bed}/views`).then(reload, (error) => error.status === 503 && wait());
  wait();
}

// --- kinds are offered by name

const kinds = document.getElementById("kinds");
if (kinds) {
  ask("GET", `/api/beds/${bed}/kinds`)
    .then((names) => kinds.append(...names.map((name) => new Option(name, name))))
    .catch(() => {}); // without the list a name is typed whole
}

document.getElementById("log-out")?.addEventListener("click", (event) => {
  act("POST", "/log-out", undefined, () => location.assign("/log-in"), event.target);
});
document.getElementById("print")?.addEventListener("click", () => window.print());

resume();
// Where the list of sheets is one line, the sheet shown is in sight on it.
document.querySelector(".index [aria-current]")?.scrollIntoView({ block: "nearest", inline: "center" });

// --- the shelf

const begin = document.getElementById("begin");
if (begin) {
  offerTowns(begin.elements.town);
  begin.addEventListener("submit", async (event) => {
    event.preventDefault();
    const { town, shape, units, title } = Object.fromEntries(new FormData(begin));
    const button = begin.querySelector("[type=submit]");
    const words = button.textContent;
    button.textContent = "Looking for the town …";
    button.disabled = true;
    try {
      const made = await ask("POST", "/api/beds", { town, shape, units, title });
      location.assign(`/beds/${made.bed}/site`);
    } catch (error) {
      tell(error, begin.elements.town, "place.town");
    } finally {
      button.textContent = words;
      button.disabled = false;
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

  // A bed that is put away is kept whole, and can be put back.
  for (const button of document.querySelectorAll("[data-put-away]")) {
    button.addEventListener("click", () => act("DELETE", `/api/beds/${button.dataset.putAway}`, undefined, undefined, button));
  }
  for (const button of document.querySelectorAll("[data-put-back]")) {
    button.addEventListener("click", () => act("POST", `/api/away/${button.dataset.putBack}`, undefined, undefined, button));
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
