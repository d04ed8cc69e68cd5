// Photographs of the journal: one is picked beside the line, those that are written open large.
import { ask, bed, tell } from "./asks.js";
import { shelf } from "./inbrowser.js";

const MOST_BYTES = 25_000_000;
const GIVE_UP_MS = 120_000; // a large one over a weak network takes a while

// Photographs of lines that wait for the server, by the line's id.
export const unsent = shelf("bedwright-unsent", "photographs");

export const send = (photo) => ask("POST", `/api/beds/${bed}/photos`, photo, AbortSignal.timeout(GIVE_UP_MS));

// A picture of a file that is in this browser; forms that it cannot show are named instead.
export function preview(file, words) {
  const image = Object.assign(document.createElement("img"), { alt: words, className: "small-photo" });
  image.addEventListener("load", () => URL.revokeObjectURL(image.src));
  image.addEventListener("error", () => image.replaceWith(words));
  image.src = URL.createObjectURL(file);
  return image;
}

// The buttons beside the line, and the photograph that was picked by them.
export function picker(form) {
  const shown = document.getElementById("picked");
  const line = form.elements.line;
  const made = {
    file: null,
    pick(file) {
      made.file = file;
      line.required = !file;
      shown.hidden = !file;
      shown.replaceChildren();
      if (!file) return;
      const leave = Object.assign(document.createElement("button"), { type: "button", textContent: "leave it out" });
      leave.addEventListener("click", () => {
        made.pick(null);
        line.focus();
      });
      const words = Object.assign(document.createElement("figcaption"), { textContent: `${file.name} ` });
      words.append(leave);
      shown.append(preview(file, "The photograph that goes with the line"), words);
    },
  };
  for (const button of form.querySelectorAll("[data-pick]")) {
    const input = document.getElementById(button.dataset.pick);
    button.addEventListener("click", () => input.click());
    input.addEventListener("change", () => {
      const [file] = input.files;
      input.value = ""; // so that the same one can be picked again
      if (!file) return;
      if (file.size > MOST_BYTES) return tell(new Error(`The photograph has ${(file.size / 1e6).toFixed(1)} MB; accepted: up to ${MOST_BYTES / 1e6} MB.`), button);
      made.pick(file);
    });
  }
  return made;
}

// A small photograph opens in its place on the sheet; without this script the link shows it.
export function openLarge() {
  for (const link of document.querySelectorAll("a.photo")) {
    const small = link.querySelector("img");
    const without = () => small.replaceWith("photograph");
    if (small.complete && small.naturalWidth === 0) without(); // it failed before this script ran
    else small.addEventListener("error", without);
    link.addEventListener("click", (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      const box = Object.assign(document.createElement("dialog"), { className: "large" });
      const words = document.createElement("p");
      const image = Object.assign(document.createElement("img"), { src: link.href, alt: small.alt });
      image.addEventListener("error", () => image.replaceWith("This browser cannot show the photograph, or it is lost."));
      const file = Object.assign(document.createElement("a"), { href: link.href, textContent: "the file as it is", target: "_blank" });
      const shut = Object.assign(document.createElement("button"), { type: "button", textContent: "close" });
      words.append(`${link.dataset.words} `, file, " ", shut);
      box.setAttribute("aria-label", small.alt);
      box.append(image, words);
      document.body.append(box);
      shut.addEventListener("click", () => box.close());
      box.addEventListener("click", (where) => where.target === box && box.close());
      box.addEventListener("close", () => {
        box.remove();
        link.focus();
      });
      box.showModal();
    });
  }
}
