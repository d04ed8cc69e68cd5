// Asks the server: every change carries the page's token and the revision it is meant for.

export const bed = document.body.dataset.bed;
export const on = Number(document.body.dataset.on);

const token = document.querySelector('meta[name="token"]').content;

export class Refused extends Error {
  constructor(status, detail) {
    super(typeof detail === "string" ? detail : "");
    this.status = status;
    this.faults = Array.isArray(detail) ? detail : [];
  }
}

export async function ask(method, path, body) {
  let answer;
  try {
    answer = await fetch(path, {
      method,
      headers: { "content-type": "application/json", "x-bedwright-token": token },
      body: body === undefined ? undefined : JSON.stringify(body),
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
  if (!answer.ok) throw new Refused(answer.status, said?.detail || answer.statusText);
  return said;
}

export async function change(settings, said = "") {
  const made = await ask("POST", `/api/beds/${bed}/changes`, { on, settings, said });
  if (document.body.dataset.planned) await ask("POST", `/api/beds/${bed}/plan`, { on: made.on });
  return made;
}

const faultBox = document.getElementById("faults");

// Says what is at fault: beside the field where there is one, else on top of the sheet.
export function tell(error, field = null, path = null) {
  const lines = error.faults?.length
    ? error.faults.map((f) => ({ field: f.field, words: `given ${f.given}; accepted: ${f.accepted}` }))
    : [{ field: "", words: error.message }];
  const own = lines.filter((line) => field && (lines.length === 1 || line.field.startsWith(path)));
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
    under.textContent = (own.length ? own : lines).map((line) => line.words).join(" ");
  }
  const others = field ? lines.filter((line) => !own.includes(line) && own.length) : lines;
  faultBox.hidden = others.length === 0;
  faultBox.replaceChildren(
    ...others.map((line) => {
      const words = document.createElement("p");
      words.textContent = line.field ? `${line.field}: ${line.words}` : line.words;
      return words;
    }),
  );
  if (others.length) faultBox.scrollIntoView({ block: "nearest" });
}

// Loads the sheet anew, and remembers what was in hand, so that it is in hand again.
export function anew() {
  const held = document.activeElement;
  const opener = held?.closest(".open-field")?.previousElementSibling ?? held;
  const named = ["id", "data-path", "data-add-thing", "data-drift", "data-dot", "data-thing", "data-rows", "data-variant"]
    .map((name) => [name, opener?.getAttribute?.(name)])
    .find(([, value]) => value !== null && value !== undefined && value !== "");
  if (named) sessionStorage.setItem("held", `[${named[0]}="${CSS.escape(named[1])}"]`);
  location.reload();
}

// Takes in hand again what was before the sheet was loaded anew, once it is drawn.
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
