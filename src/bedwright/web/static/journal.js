// The journal: a line is written down, and read back as it was understood.  A line that the server
// does not get, because the phone is out of reach or logged out, waits in this browser with its
// photograph, and is sent later, once.
import { act, ask, bed, on, Refused, reload, sentence, tell } from "./asks.js";
import { showEntries } from "./both.js";
import * as photos from "./photos.js";

const note = document.getElementById("note");
const told = document.getElementById("noted");
const unsent = document.getElementById("unsent");
const kept = `unsent-${bed}`;
const AGAIN_MS = 15_000;
const GIVE_UP_MS = 10_000; // at the edge of a network a request can hang for minutes

const waiting = () => JSON.parse(localStorage.getItem(kept) ?? "[]");
const keep = (lines) => {
  if (lines.length) localStorage.setItem(kept, JSON.stringify(lines));
  else localStorage.removeItem(kept);
  show(lines);
};

// Why the lines wait: null while the server is out of reach, else what it said.
let refusal = null;

// Says which lines wait and why, each with a button to let it go.
function show(lines) {
  unsent.hidden = lines.length === 0;
  const words = document.createElement("p");
  words.textContent = refusal
    ? `${refusal.message} Until then these lines are kept in this browser. `
    : "The server is out of reach. These lines are kept in this browser, and are sent when it is back:";
  if (refusal?.logIn) {
    const link = Object.assign(document.createElement("a"), { textContent: "Log in" });
    link.href = `${refusal.logIn}?to=${encodeURIComponent(location.pathname)}`;
    words.append(link);
  }
  const list = document.createElement("ul");
  for (const { id, line, photo, fault } of lines) {
    const item = document.createElement("li");
    const named = line || "a photograph";
    item.textContent = fault ? `${named} (${fault}) ` : `${named} `;
    if (photo) photos.unsent.kept(id).then((file) => file && item.prepend(photos.preview(file, "its photograph"), " "), () => {});
    const drop = document.createElement("button");
    drop.type = "button";
    drop.textContent = "let it go";
    drop.addEventListener("click", () => letGo(id));
    item.append(drop);
    list.append(item);
  }
  unsent.replaceChildren(words, list);
}

// An id of the line's own: crypto.randomUUID is only there on addresses that count as secure.
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 15) | 64;
  bytes[8] = (bytes[8] & 63) | 128;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [[0, 8], [8, 12], [12, 16], [16, 20], [20, 32]].map(([a, b]) => hex.slice(a, b)).join("-");
}

// The day on which a line is typed, since it may be sent on a later one.
export function today() {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
}

// Whether the server refuses the line itself, and not who sends it or that it is sent now.
const lasts = (error) => error.status && error.status !== 403;

// A photograph goes first, and the entry names it.  The same one sent again is kept once.
async function send({ id, line, work, needed, typed }, photo) {
  if (work) return ask("POST", `/api/beds/${bed}/week`, { id, work, needed, typed }, AbortSignal.timeout(GIVE_UP_MS));
  const sha256 = photo && (await photos.send(photo)).sha256;
  return ask("POST", `/api/beds/${bed}/entries`, { id, line, typed, photo: sha256 }, AbortSignal.timeout(GIVE_UP_MS));
}

function letGo(id) {
  keep(waiting().filter((one) => one.id !== id));
  photos.unsent.drop(id).catch(() => {});
}

async function sendWaiting(one) {
  const photo = one.photo ? await photos.unsent.kept(one.id) : null;
  if (one.photo && !photo) throw new Refused(410, "its photograph is no longer in this browser");
  return send(one, photo);
}

// A tap on this week's list that the server did not get waits like a line.
export const keepTap = (one) => keep([...waiting(), one]);

// Sends what waits, in order; what the server refuses is said beside the line, which stays.
let sending = false;
async function sendAll() {
  if (sending) return;
  sending = true;
  let sent = 0;
  for (const one of waiting()) {
    try {
      const { answer } = await sendWaiting(one);
      if (answer) sessionStorage.setItem("read-back", JSON.stringify({ said: [sentence(answer)] }));
      sent++;
      letGo(one.id);
    } catch (error) {
      if (!lasts(error)) {
        refusal = error.status ? error : null;
        show(waiting());
        break;
      }
      keep(waiting().map((other) => (other.id === one.id ? { ...other, fault: words(error) } : other)));
    }
  }
  sending = false;
  if (sent) reload();
}

// Keeps a line in this browser until the server is back.  A photograph that there is no room for is
// said, and stays in hand.
async function keepUnsent(one, photo) {
  try {
    if (photo) await photos.unsent.keep(one.id, photo);
  } catch {
    throw new Error("The server does not answer, and this browser has no room for the photograph. It is still here: try again, or leave it out.");
  }
  navigator.storage?.persist?.().catch(() => {});
  keep([...waiting(), { ...one, photo: Boolean(photo) }]);
}

// Why next year's brief differs is said once, on the sheet to which its bed opens.
const why = sessionStorage.getItem(`why-${bed}`);
if (why) {
  sessionStorage.removeItem(`why-${bed}`);
  const box = Object.assign(document.createElement("div"), { className: "since" });
  box.append(...JSON.parse(why).map((text) => Object.assign(document.createElement("p"), { textContent: sentence(text) })));
  document.querySelector("main h1").after(box);
}

const words = (error) => error.message || error.faults.map((f) => `given ${f.given}; accepted: ${f.accepted}`).join(" ");

if (note) {
  const line = note.elements.line;
  const readBack = sessionStorage.getItem("read-back");
  if (readBack) {
    sessionStorage.removeItem("read-back");
    const { said, id } = JSON.parse(readBack);
    told.append(...said.map((text) => Object.assign(document.createElement("p"), { textContent: text })));
    if (id) {
      const back = Object.assign(document.createElement("button"), { type: "button", textContent: "take it back" });
      back.addEventListener("click", () => takeBack(id, back));
      told.append(back);
    }
  }
  const picked = photos.picker(note);
  const write = note.querySelector("[type=submit]");
  const writeDown = async () => {
    const one = { id: newId(), line: line.value, typed: today() };
    try {
      const { words: understood, remarks, id, answer } = await send(one, picked.file);
      if (answer) {
        told.replaceChildren(Object.assign(document.createElement("p"), { textContent: sentence(answer) }));
        return;
      }
      sessionStorage.setItem("read-back", JSON.stringify({ said: [`Written: ${understood}.`, ...remarks.map(sentence)], id }));
      line.value = "";
      return reload();
    } catch (error) {
      if (lasts(error)) return tell(error, line, "line");
      refusal = error.status ? error : null;
    }
    try {
      await keepUnsent(one, picked.file);
      line.value = "";
      picked.pick(null);
    } catch (error) {
      tell(error, line, "line");
    }
  };
  note.addEventListener("submit", async (event) => {
    event.preventDefault();
    const named = write.textContent;
    write.disabled = true;
    if (picked.file) write.textContent = "Sending the photograph …";
    await writeDown();
    write.disabled = false;
    write.textContent = named;
  });
  photos.openLarge();
  for (const tap of note.querySelectorAll("[data-word]")) {
    tap.addEventListener("click", () => {
      line.value = `${line.value.trimEnd()} ${tap.dataset.word} `.trimStart();
      line.focus();
    });
  }
  for (const item of document.querySelectorAll("[data-entry]")) {
    item.querySelector("[data-take-back]").addEventListener("click", (event) => takeBack(item.dataset.entry, event.target));
    item.querySelector("[data-correct]").addEventListener("click", () => correct(item));
  }
  for (const button of document.querySelectorAll("[data-grown]")) {
    button.addEventListener("click", () => act("POST", `/api/beds/${bed}/grown`, { on: Number(button.dataset.grown) }, undefined, button));
  }
  document.getElementById("use-learned").addEventListener("click", (event) => act("POST", `/api/beds/${bed}/learned`, { on }, undefined, event.target));
  const nextYear = document.getElementById("next-year");
  nextYear.addEventListener("submit", (event) => {
    event.preventDefault();
    const keep = nextYear.elements.keep.value.split(",").map((name) => name.trim()).filter(Boolean);
    act("POST", `/api/beds/${bed}/next-year`, { keep }, ({ bed: made, remarks }) => {
      sessionStorage.setItem(`why-${made}`, JSON.stringify(remarks));
      location.assign(`/beds/${made}/planting`);
    }, nextYear.elements.keep, "keep");
  });
  show(waiting());
  sendAll();
  addEventListener("online", sendAll);
  setInterval(() => waiting().some((one) => !one.fault) && sendAll(), AGAIN_MS);
}

const withdraw = (entry) => ask("DELETE", `/api/beds/${bed}/entries/${entry}`);
async function takeBack(entry, button) {
  try {
    await withdraw(entry);
    reload();
  } catch (error) {
    if (error.both && !error.both.theirs.withdrawn) return showEntries(error.both, ({ id }) => withdraw(id));
    tell(error.both ? new Error(error.message) : error, button);
  }
}

// The line of an entry opens in its place; Escape leaves it as it was.
function correct(item) {
  if (item.querySelector("form")) return;
  const form = document.createElement("form");
  form.className = "open-field";
  const line = Object.assign(document.createElement("input"), { value: item.dataset.line, maxLength: 2000, required: true });
  line.setAttribute("aria-label", "The line in its place");
  const save = Object.assign(document.createElement("button"), { textContent: "save" });
  const leave = Object.assign(document.createElement("button"), { type: "button", textContent: "cancel" });
  form.append(line, save, leave);
  item.append(form);
  line.focus();
  const shut = () => {
    form.remove();
    item.querySelector("[data-correct]").focus();
  };
  leave.addEventListener("click", shut);
  form.addEventListener("keydown", (event) => {
    if (event.key === "Escape") shut();
  });
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const put = (entry) => ask("POST", `/api/beds/${bed}/entries${entry ? `/${entry}` : ""}`, { line: line.value, id: newId() });
    try {
      await put(item.dataset.entry);
      reload();
    } catch (error) {
      if (error.both) return showEntries(error.both, ({ id, withdrawn }) => put(withdrawn ? null : id));
      tell(error, line, "line");
    }
  });
}
