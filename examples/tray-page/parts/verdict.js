// The verdict as a page shows it: the word, what to do, the caution, then every finding with its grounds.

import { make, sign } from "./dom.js";
import { marked } from "./spans.js";
import { ACTION, WORST_FIRST, capital, plain, sentence } from "./words.js";

/**
 * The verdict as elements.
 * @param {object} verdict the answer of `checker.check`
 * @param {object[]} items what was checked, as it was given to the library
 * @param {string} resident whose card it is; may be empty
 */
export function verdictView(verdict, items, resident) {
  const { findings, unread, assumptions } = verdict;
  const worst = findings.toSorted((a, b) => WORST_FIRST.indexOf(a.action) - WORST_FIRST.indexOf(b.action));
  const count = `${items.length} ${items.length === 1 ? "item" : "items"} checked`;
  return [
    make(
      "div",
      { class: "verdict", "data-action": verdict.verdict },
      make("p", { class: "what" }, resident ? `${resident}: ${count}` : count),
      make("h2", { id: "answer-title" }, sign(verdict.verdict), ACTION[verdict.verdict] ?? verdict.verdict),
      make("p", { class: "say" }, verdict.say),
    ),
    make("p", { class: "caution" }, verdict.caution),
    part(`Found (${findings.length})`, worst.map((f) => finding(f, items))),
    part(`Not understood (${unread.length})`, unread.map((u) => notUnderstood(u, items))),
    part(`Assumed (${assumptions.length})`, assumptions.map((a) => make("li", {}, a.item !== null && about(a.item, items), capital(a.say)))),
    make("button", { type: "button", class: "plain clear" }, "Clear for the next tray"),
    make("p", { class: "stamp" }, `Ontology ${verdict.ontology.version}, ${verdict.ontology.digest.slice(0, 19)}`),
  ].filter(Boolean);
}

function part(title, entries) {
  return entries.length > 0 && make("section", { class: "part" }, make("h3", {}, title), make("ul", {}, ...entries));
}

/** Which item something is about. */
function about(item, items) {
  return make("span", { class: "about" }, `Item ${item + 1}${items[item]?.sealed ? ", sealed" : ""}`);
}

function finding(f, items) {
  return make(
    "li",
    { class: "finding", "data-action": f.action },
    make(
      "p",
      { class: "tag" },
      make("strong", {}, sign(f.action), ACTION[f.action] ?? f.action),
      f.item !== null && about(f.item, items),
      make("span", { class: "rule" }, f.rule),
    ),
    make("p", { class: "finding-say" }, f.say),
    ...quotes(f, items[f.item]),
    grounds(f),
  );
}

/** What stands behind a finding, folded away: its chain, and what the kitchen could do. */
function grounds({ because, remedies = [], say }) {
  if (because.length + remedies.length === 0) return null;
  return make(
    "details",
    {},
    make("summary", {}, remedies.length ? "Why, and what could help" : "Why", make("span", { class: "unseen" }, `: ${say}`)),
    because.length > 0 && make("ol", { class: "chain" }, ...because.map(step)),
    remedies.length > 0 && remedyList(remedies),
  );
}

/** The item's own texts, with the words that caused the finding marked. */
function quotes(f, item) {
  const spans = f.because.filter((step) => step.span && step.span[0] < step.span[1]);
  return ["name", "ingredients"].flatMap((field) => {
    const here = spans.filter((step) => step.field === field);
    if (!item || here.length === 0) return [];
    const marks = here.map(({ span, step }) => ({ span, kind: step === "unread" ? "unread" : "cause" }));
    const words = here.map((step) => step.text).join(", ");
    return make(
      "p",
      { class: "source-text" },
      make("span", { class: "field-name" }, field === "name" ? "Name: " : "Ingredients: "),
      marked(item[field] ?? "", marks),
      make("span", { class: "unseen" }, ` Marked: ${words}.`),
    );
  });
}

function step(s) {
  const sources = s.source?.length ? make("small", {}, ` Source: ${s.source.join(", ")}`) : null;
  return make("li", {}, sentence(s), sources);
}

function remedyList(ways) {
  const way = (list) => make("li", {}, list.map(plain).join(" + "));
  return make(
    "div",
    { class: "remedies" },
    make("p", {}, ways.length === 1 ? "The kitchen could make it, and must test it:" : "The kitchen could make it one of these, and must test it:"),
    make("ul", {}, ...ways.map(way)),
  );
}

function notUnderstood(u, items) {
  const text = items[u.item]?.[u.field] ?? "";
  const words = u.text ? marked(text, [{ span: u.span, kind: "unread" }]) : "no words to read";
  const meant = u.read_as?.length ? ` Perhaps meant: ${u.read_as.map(plain).join(" or ")}. That only adds caution.` : "";
  return make("li", {}, about(u.item, items), words, u.text && make("span", { class: "unseen" }, ` Not understood: ${u.text}.`), meant);
}
