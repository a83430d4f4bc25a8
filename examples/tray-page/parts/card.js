// What the library read from the diet card, beside the card's own words, so that a misreading is seen.

import { make } from "./dom.js";
import { marked } from "./spans.js";
import { drinkLevel, foodLevel, plain } from "./words.js";

/**
 * The reading as elements.
 * @param {string} text the card as it was given to the library
 * @param {object} reading the answer of `checker.card`
 */
export function cardReading(text, reading) {
  const marks = [
    ...reading.unclear.map(({ span }) => ({ span, kind: "unread" })),
    ...reading.allergies.map(({ span }) => ({ span, kind: "cause" })),
  ];
  return [
    make("dl", { class: "facts" }, ...rows(reading).map(([name, values, kind]) => fact(name, values, kind))),
    marks.length > 0 && make("p", { class: "source-text" }, marked(text, marks)),
    marks.length > 0 && key(reading),
  ].filter(Boolean);
}

function fact(name, values, kind = "") {
  return make("div", { class: kind }, make("dt", {}, name), ...values.map((value) => make("dd", {}, value)));
}

function key(reading) {
  return make(
    "p",
    { class: "key" },
    reading.allergies.length > 0 && make("mark", { class: "cause" }, "must not have"),
    reading.unclear.length > 0 && make("mark", { class: "unread" }, "not understood"),
  );
}

function rows(reading) {
  const always = (values) => (values.length ? values : ["nothing read"]);
  const allergies = reading.allergies.map(allergy);
  if (reading.none_known) allergies.push("no food allergies known, says the card");
  const all = [
    ["Must not have", always(allergies)],
    ["Diet", always(reading.diets.map(plain))],
    ["Food", always(reading.food_level === null ? [] : [foodLevel(reading.food_level)])],
    ["Liquids", always(reading.liquid_level === null ? [] : [drinkLevel(reading.liquid_level)])],
    ["Fluid limit", reading.fluid_limit_ml === null ? [] : [`${reading.fluid_limit_ml} mL a day`]],
    ["Cleared", (reading.cleared ?? []).map(plain)],
    ["Piece sizes", reading.piece_size ? [reading.piece_size] : []],
    ["Supplements", reading.supplements],
    ["At the bedside", reading.precautions],
    ["Likes and dislikes", reading.preferences.map((words) => `${words} (not judged)`)],
    ["Drugs", reading.drugs.map((words) => `${words} (not judged against food)`)],
    ["Denied", reading.denied.map((words) => `${words} (not judged)`)],
    ["Remarks", reading.remarks],
    ["Not understood", reading.unclear.map(({ text, why }) => `“${text}”${why === "not understood" ? "" : `: ${why}`}`), "unclear"],
  ];
  return all.filter(([, values]) => values.length > 0);
}

function allergy({ to, concepts, kind, severe, reactions = [] }) {
  const read = concepts.map(plain).join(", ");
  const notes = [kind, severe && "severe", ...reactions, read !== to.toLowerCase() && `read as ${read || "nothing known"}`];
  return `${to} (${notes.filter(Boolean).join(", ")})`;
}
