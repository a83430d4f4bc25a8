// Words around the library's own sentences. Nothing here decides anything.

/** Names of the IDDSI levels (Framework 2.0, 2019); see the attribution at the foot of the page. */
const FOOD = { 3: "Liquidised", 4: "Pureed", 5: "Minced & Moist", 6: "Soft & Bite-Sized", 7: "Regular" };
const DRINK = ["Thin", "Slightly Thick", "Mildly Thick", "Moderately Thick", "Extremely Thick"];

export const foodLevel = (level) => (level === "easy to chew" ? "level 7 Easy to Chew" : `level ${level} ${FOOD[level] ?? ""}`.trim());
export const drinkLevel = (level) => `level ${level} ${DRINK[level] ?? ""}`.trim();

/** The four words of a verdict as headings. */
export const ACTION = { return: "Return", ask: "Ask", remove: "Remove", serve: "Serve" };

/** Worst first. */
export const WORST_FIRST = ["return", "ask", "remove", "serve"];

/** An id of the ontology as words. */
export const plain = (id) => id.replaceAll("-", " ");

export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

const quote = (text) => `“${text}”`;
const where = (field) => (field === "ingredients" ? "in the ingredient list" : "in the name");

/** One step of a finding's chain as a sentence. */
export function sentence(step) {
  switch (step.step) {
    case "text":
      return `${quote(step.text)} ${where(step.field)} is read as ${plain(step.read_as)}.`;
    case "kind-of":
      return `${capital(plain(step.from))} is a kind of ${plain(step.to)}.`;
    case "made-with":
      return `${capital(plain(step.from))} is ${step.strength} made with ${plain(step.to)}.`;
    case "may-hide":
      return `${capital(plain(step.from))} may stand for ${plain(step.to)}.`;
    case "claim":
      return `${quote(step.text)} ${where(step.field)} is a claim: ${plain(step.claim)}.`;
    case "precaution":
      return "It stands in a warning of traces.";
    case "more-general":
      return `${capital(plain(step.concept))} is a general word: ${plain(step.than)} may be meant.`;
    case "unread":
      return step.text ? `${quote(step.text)} ${where(step.field)} is not understood.` : `Nothing to read ${where(step.field)}.`;
    case "form":
      return form(step);
    case "tested":
      return tested(step);
    case "trait":
      return `${capital(plain(step.concept))} counts as ${plain(step.id)}.`;
    case "same-group":
      return `${capital(plain(step.concept))} is of one group with ${plain(step.excluded)}.`;
    case "rule":
      return `${step.order === "text" ? "The diet card" : `The order (${step.order})`} says ${quote(step.says)}.`;
    default:
      // A newer library may know more steps; an unknown one is shown as it is, never left out.
      return JSON.stringify(step);
  }
}

function form(step) {
  const levels = [];
  if (step.food !== null) levels.push(`food ${foodLevel(step.food)}`);
  if (step.drink !== null) levels.push(`liquid ${drinkLevel(step.drink)}`);
  const prepared = step.prepared.length ? ` (${step.prepared.map(plain).join(", ")})` : "";
  const risks = step.risks.length ? `${levels.length ? "; " : ""}${step.risks.map(plain).join(", ")}` : "";
  return `${capital(plain(step.concept))}${prepared} is ordinarily ${levels.join(" and ")}${risks}.`;
}

function tested(step) {
  const range = (from, to, name) => (from === to ? name(from) : `${name(from)} to ${name(to)}`);
  const levels = [`food ${range(step.food_from, step.food_to, foodLevel)}`];
  if (step.drink) levels.push(`liquid ${range(...step.drink, drinkLevel)}`);
  return `Its tests show ${levels.join(" and ")}${step.transitional ? ", transitional" : ""}.`;
}
