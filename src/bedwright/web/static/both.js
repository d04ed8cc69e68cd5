// Two people who change the same at once: the second to save is shown both, and chooses.  What was
// typed stays where it is until then, and nothing of either is lost.
import { ask, bed } from "./asks.js";

const element = (name, words = "", more = {}) => Object.assign(document.createElement(name), { textContent: words, ...more });
const told = (error) => error.message || error.faults.map((f) => `${f.label || f.path}: given ${f.given}; accepted: ${f.accepted}`).join(" ");

// The sheet as it now is, with what is to be said of it on top.
function seeIt(sentences) {
  if (sentences.length) sessionStorage.setItem(`why-${bed}`, JSON.stringify(sentences));
  location.reload();
}

// A box over the sheet.  ``choices``: what can be done, each with its words, what comes of it, and
// an act; a fault of an act is said in the box, which stays.
function choose(title, content, choices) {
  document.querySelector("dialog.both")?.remove();
  const box = element("dialog", "", { className: "both" });
  // In hand at first, so that the key that saved does not choose as well.
  const heading = element("h2", title, { id: "both-title", tabIndex: -1, autofocus: true });
  box.setAttribute("aria-labelledby", "both-title");
  const fault = element("p", "", { className: "fault" });
  fault.setAttribute("role", "alert");
  const list = element("ul", "", { className: "choices" });
  for (const { words, help, act } of [...choices, { words: "Go on typing", help: "nothing is changed, and what you typed is still here", act: () => box.close() }]) {
    const item = element("li");
    const button = element("button", words, { type: "button" });
    button.addEventListener("click", async () => {
      button.disabled = true;
      try {
        await act();
      } catch (error) {
        button.disabled = false;
        if (error.both) return showBoth(error.both); // changed again, while this was read
        fault.textContent = told(error);
      }
    });
    item.append(button, " ", element("small", help));
    list.append(item);
  }
  box.append(heading, ...content, list, fault);
  box.addEventListener("close", () => box.remove());
  document.body.append(box);
  box.showModal();
}

// One thing that differs: what it is, what it was, and theirs and mine side by side.
function row({ label, before, theirs, mine, clash }) {
  const group = element("section", "", { className: clash ? "differs clash" : "differs" });
  const heading = element("h3", label);
  if (clash) heading.append(" ", element("small", "both changed it"));
  const list = element("dl");
  for (const [title, value] of [["Before", before], ["Theirs", theirs], ["Yours", mine]]) {
    const one = element("div", "", { className: value === "as before" ? "same" : "" });
    one.append(element("dt", title), element("dd", value));
    list.append(one);
  }
  group.append(heading, list);
  return group;
}

// Two briefs that were made from the same one.
export function showBoth(both) {
  const { base, theirs, mine, rows, clashes } = both;
  const put = async (take, sentences) => {
    await ask("POST", `/api/beds/${bed}/merge`, { base: base.on, on: theirs.on, brief: mine.brief, said: mine.said, take });
    seeIt(sentences);
  };
  const others = theirs.said.join("; ");
  const shown = element("div", "", { className: "rows", tabIndex: 0 });
  shown.setAttribute("role", "group");
  shown.setAttribute("aria-label", "What differs");
  shown.append(...rows.map(row));
  const clash = clashes === 1 ? "One thing was changed by both." : `${clashes} things were changed by both.`;
  choose(
    "Somebody else changed this bed meanwhile",
    [element("p", `Theirs: ${others}.`), element("p", `Yours: ${mine.said}.`), element("p", clashes ? clash : "They are of different things: both can be kept."), shown],
    [
      {
        words: "Put mine on top of theirs",
        help: clashes ? "all of both is kept, but where both changed the same, yours stands" : "all of theirs is kept, and yours with it",
        act: () => put("both", [clashes ? `yours (${mine.said}) was put on top of theirs (${others})` : `both are kept: theirs (${others}) and yours (${mine.said})`]),
      },
      { words: "Keep theirs", help: "your change is left out", act: () => seeIt([`theirs was kept (${others}); you wanted: ${mine.said}`]) },
      {
        words: "Take mine instead",
        help: `the bed as you had it; theirs stays among the revisions, as number ${theirs.on}`,
        act: () => put("mine", [`yours was taken (${mine.said}); theirs (${others}) is revision ${theirs.on}`]),
      },
    ],
  );
}

// Two lines in the place of one entry; ``take`` puts mine in the place of theirs, or beside it.
export function showEntries({ said, theirs, mine }, take) {
  const words = theirs.withdrawn ? "taken back" : theirs.words;
  choose(
    "Somebody else changed this entry meanwhile",
    [element("p", said), row({ label: "The entry", before: theirs.before, theirs: words, mine: mine ? mine.words : "taken back", clash: true })],
    [
      { words: "Keep theirs", help: "your change is left out", act: () => seeIt([mine ? `theirs was kept; you wanted: ${mine.line}` : "theirs was kept"]) },
      {
        words: "Take mine instead",
        help: theirs.withdrawn ? "your line is written again" : "theirs stays in the history",
        act: async () => {
          await take(theirs);
          seeIt([]);
        },
      },
    ],
  );
}
