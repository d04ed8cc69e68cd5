// Asks the server: every change carries the page's token and the revision it is meant for.
import { showBoth } from "./both.js";

export const bed = document.body.dataset.bed;
export let on = Number(document.body.dataset.on);

// The sheet goes on as that of a later revision, of which it shows what it can.
export function goOn(revision) {
  on = revision;
  document.querySelector(".title-block .revision").textContent = revision;
  document.getElementById("undo").disabled = false;
  document.getElementById("redo").disabled = true;
}

const token = document.querySelector('meta[name="token"]').content;

export const sentence = (words) => `${words[0].toUpperCase()}${words.slice(1)}.`;

export class Refused extends Error {
  constructor(status, detail, logIn = null) {
    const both = typeof detail === "object" && !Array.isArray(detail) ? detail : null;
    super(both ? both.said : typeof detail === "string" ? detail : "");
    this.status = status;
    this.logIn = logIn; // where to log in, if that is what is missing
    this.faults = Array.isArray(detail) ? detail : [];
    this.both = both; // what somebody else changed meanwhile, and mine
  }
}

// ``body``: values, sent as JSON, or a file, sent as it is.
export async function ask(method, path, body, signal = null) {
  const file = body instanceof Blob;
  let answer;
  try {
    answer = await fetch(path, {
      method,
      headers: { "content-type": file ? "application/octet-stream" : "application/json", "x-bedwright-token": token },
      body: file || body === undefined ? body : JSON.stringify(body),
      signal,
    });
  } catch {
    throw new Refused(0, "The server does not answer. What you typed is still here; start bedwright page again.");
  }
  const text = await answer.text();
  let said = null;
  try {
    said = JSON.parse(text);
  } catch {
    said = { detail: text }; // a refusal in plain words
  }
  if (!answer.ok) throw new Refused(answer.status, said?.detail || answer.statusText, answer.headers.get("x-bedwright-log-in"));
  return said;
}

export const change = (settings, said = "") => ask("POST", `/api/beds/${bed}/changes`, { on, settings, said });

const faultBox = document.getElementById("faults");

// Says what is at fault: beside the field where there is one, else on top of the sheet.
export function tell(error, field = null, path = null) {
  if (error.both) showBoth(error.both);
  const lines = error.faults?.length
    ? error.faults.map((f) => ({ path: f.path ?? "", label: f.label ?? "", words: `given ${f.given}; accepted: ${f.accepted}` }))
    : [{ path: "", label: "", words: error.message }];
  const own = lines.filter((line) => field && (lines.length === 1 || line.path === path || line.path.startsWith(`${path}.`)));
  if (field) {
    let under = field.parentElement.querySelector(".fault");
    if (!under) {
      under = document.createElement("p");
      under.className = "fault";
      under.id = `fault-${Math.random().toString(36).slice(2)}`;
      under.setAttribute("role", "alert");
      field.parentElement.append(under);
      field.setAttribute("aria-describedby", under.id);
      field.setAttribute("aria-invalid", "true");
    }
    const named = (line) => (line.label && line.path !== path ? `${line.label}: ${line.words}` : line.words);
    under.textContent = (own.length ? own : lines).map(named).join(" ");
  }
  const others = field ? lines.filter((line) => !own.includes(line) && own.length) : lines;
  faultBox.hidden = others.length === 0;
  faultBox.replaceChildren(
    ...others.map((line) => {
      const words = document.createElement("p");
      words.textContent = line.label ? `${line.label}: ${line.words}` : line.words;
      return words;
    }),
  );
  if (others.length) faultBox.scrollIntoView({ block: "nearest" });
}

// Loads the sheet again, and remembers what was in hand, so that it is in hand again.
export function reload() {
  const held = document.activeElement;
  const opener = held?.closest(".open-field")?.previousElementSibling ?? held;
  const named = ["id", "data-path", "data-cell", "data-add-thing", "data-drift", "data-dot", "data-thing", "data-variant"]
    .map((name) => [name, opener?.getAttribute?.(name)])
    .find(([, value]) => value !== null && value !== undefined && value !== "");
  if (named) sessionStorage.setItem("held", `[${named[0]}="${CSS.escape(named[1])}"]`);
  location.reload();
}

// Takes in hand again what was before the sheet was loaded again, once it is drawn.
export function resume() {
  const held = sessionStorage.getItem("held");
  sessionStorage.removeItem("held");
  if (!held) return;
  let tries = 0;
  const look = () => {
    const found = document.querySelector(held);
    if (found && !found.hidden && !found.disabled) found.focus({ preventScroll: true });
    else if (tries++ < 40) setTimeout(look, 50);
  };
  look();
}

// Makes a change on the server and shows what comes of it; a fault is told, by a field if given.
export async function act(method, path, body, then = () => reload(), field = null, at = null) {
  try {
    then(await ask(method, path, body));
  } catch (error) {
    tell(error, field, at);
  }
}

export const set = (settings, said) => act("POST", `/api/beds/${bed}/changes`, { on, settings, said });
