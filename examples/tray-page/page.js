// The page: form in, `checker.check`, verdict out. The library decides; this only asks and shows.

import { cardReading } from "./parts/card.js";
import { announce, by, make } from "./parts/dom.js";
import { EXAMPLES } from "./parts/examples.js";
import { keepOffline } from "./parts/offline.js";
import { fieldOf, filled, setItems, startTray } from "./parts/tray.js";
import { verdictView } from "./parts/verdict.js";
import { ACTION } from "./parts/words.js";

const form = by("check");
const card = by("card");
/** Milliseconds without typing after which the card is read. */
const PAUSE = 350;
/** Where the library's error paths stand on the page: the field's id, and what people call it. */
const PLACES = {
  "order.text": ["card", "The diet card"],
  "order.resident": ["card-resident", "The resident on the card"],
  "tray.resident": ["tray-resident", "The resident on the tray ticket"],
  "tray.items": ["", "The tray"],
};
let verdictShown = false;
let broken = false;
let pause = 0;

const ready = import("./salver/index.js").then((salver) => salver.load());

async function start() {
  form.reset(); // what a browser may have kept from before is not this resident's
  startTray(changed);
  for (const example of EXAMPLES) by("examples").append(exampleButton(example));
  showBefore();
  form.addEventListener("input", changed);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    check();
  });
  document.addEventListener("click", ({ target }) => {
    if (target.matches(".clear")) clear();
  });
  card.addEventListener("input", () => {
    clearTimeout(pause);
    pause = setTimeout(readCard, PAUSE);
  });
  keepOffline();
  try {
    const { library, ontology } = (await ready).versions();
    by("versions").textContent = `salver ${library}, ontology ${ontology}`;
  } catch (error) {
    showBroken(error);
  }
}

/** Asks the library and shows its verdict. */
async function check() {
  let checker;
  try {
    checker = await ready;
  } catch (error) {
    return showBroken(error);
  }
  clearErrors();
  const found = filled();
  if (missing(found)) return;
  const order = { text: card.value, ...resident("card-resident") };
  const items = found.map(({ item }) => item);
  readCard();
  try {
    const verdict = checker.check({ order, tray: { items, ...resident("tray-resident") } });
    show(verdictView(verdict, items, order.resident ?? ""));
    announce(`${ACTION[verdict.verdict] ?? verdict.verdict}. ${verdict.say} ${verdict.caution}`);
  } catch (error) {
    if (error?.remedy === undefined) return showBroken(error);
    showRefused(error, found);
  }
}

/** What the form lacks; a card or a tray that nobody typed is not judged as if it were empty. */
function missing(found) {
  const wrong = [];
  if (!card.value.trim()) wrong.push([card, "Type what the diet card says. Without it nothing can be checked."]);
  if (!found.length) wrong.push([fieldOf(null, "name"), "List what is on the tray, one item a row."]);
  for (const { item, row } of found) {
    if (!item.name.trim()) wrong.push([fieldOf(row, "name"), "Name this item."]);
  }
  wrong.forEach(([field, words]) => markWrong(field, words));
  if (wrong.length) {
    showBefore();
    wrong[0][0].focus();
    announce(`Not checked. ${wrong.map(([, words]) => words).join(" ")}`);
  }
  return wrong.length > 0;
}

const resident = (id) => (by(id).value.trim() ? { resident: by(id).value.trim() } : {});

/** Shows what the library reads from the card. */
async function readCard() {
  clearTimeout(pause);
  const body = by("reading-body");
  const text = card.value;
  by("reading").hidden = !text.trim();
  if (!text.trim()) return body.replaceChildren();
  try {
    const reading = (await ready).card({ text });
    if (text === card.value) body.replaceChildren(...cardReading(text, reading));
  } catch (error) {
    body.replaceChildren(make("p", {}, error?.remedy === undefined ? "The card could not be read." : `${error.what}; ${error.remedy}.`));
  }
}

/** After any change the shown verdict is no longer about this tray. */
function changed() {
  clearErrors();
  if (!verdictShown) return;
  showBefore("The card or the tray was changed after the last check. Check again.");
  announce("Changed. Check the tray again.");
}

function show(elements) {
  by("answer-body").replaceChildren(...elements);
  verdictShown = true;
  broken = false;
  by("answer").scrollIntoView({ block: "start", behavior: "instant" });
}

function showBefore(note = "") {
  if (broken) return; // that message stays
  verdictShown = false;
  by("answer-body").replaceChildren(by("before").content.cloneNode(true));
  if (note) by("answer-title").after(make("p", { class: "notice" }, note));
}

/** The library took the input for too large or malformed, and says where. */
function showRefused(error, found) {
  const [, number, part] = /^tray\.items\[(\d+)\]\.(\w+)/u.exec(error.field) ?? [];
  const [id, name] = PLACES[error.field] ?? [];
  const field = number ? fieldOf(found[number]?.row, part) : by(id);
  const place = number ? `Item ${Number(number) + 1}` : (name ?? error.field);
  const words = `${error.what}; ${error.remedy}.`;
  show([make("h2", { id: "answer-title" }, "Not checked"), make("p", { class: "notice" }, `${place}: ${words}`)]);
  announce(`Not checked. ${place}: ${words}`);
  if (field) {
    markWrong(field, words);
    field.closest("details")?.setAttribute("open", "");
    field.focus();
  }
}

/** The checker itself did not load, or stopped. */
function showBroken(error) {
  console.error(error);
  const words = "The checker does not work on this device now. Nothing was checked: ask the nurse or the kitchen. Reloading the page may help.";
  show([make("h2", { id: "answer-title" }, "Not working"), make("p", { class: "notice" }, words)]);
  verdictShown = false;
  broken = true;
  announce(words);
}

function markWrong(field, words) {
  const place = field.closest(".field").querySelector(".error");
  place.textContent = words;
  place.hidden = false;
  field.setAttribute("aria-invalid", "true");
}

function clearErrors() {
  for (const place of form.querySelectorAll(".error")) place.hidden = true;
  for (const field of form.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
}

function fill({ card: text, resident: who, items }) {
  card.value = text;
  by("card-resident").value = who;
  by("tray-resident").value = who;
  setItems(items);
  clearErrors();
  showBefore();
  readCard();
}

function clear() {
  fill({ card: "", resident: "", items: [] });
  card.focus();
  announce("Cleared. The form is empty.");
}

function exampleButton(example) {
  const button = make("button", { type: "button", class: "plain" }, `${example.resident}, ${example.meal}`);
  button.addEventListener("click", () => {
    fill(example);
    card.scrollIntoView({ block: "center", behavior: "instant" });
    card.focus();
    announce(`The invented tray of ${example.resident} is filled in`);
  });
  return button;
}

start();
