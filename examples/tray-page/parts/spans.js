// Spans come as byte offsets into the UTF-8 of a text; a page shows UTF-16 strings.

import { make } from "./dom.js";

const encoder = new TextEncoder();
// A byte order mark inside a text is a character like any other.
const decoder = new TextDecoder("utf-8", { ignoreBOM: true });

/** How many characters of unmarked text stay on each side of a mark in an excerpt. */
const AROUND = 60;

/**
 * Cuts a text along byte spans.
 * @param {string} text
 * @param {{span: [number, number], kind: string}[]} marks in any order; where two overlap they become one, of the first kind
 * @returns {{text: string, kind: string | null}[]} all of the text, in order
 */
export function pieces(text, marks) {
  const bytes = encoder.encode(text);
  const cut = (from, to) => decoder.decode(bytes.subarray(from, to));
  const merged = [];
  for (const { span: [from, to], kind } of marks.toSorted((a, b) => a.span[0] - b.span[0])) {
    const last = merged.at(-1);
    if (last && from < last.to) last.to = Math.max(last.to, to);
    else if (from < to) merged.push({ from, to, kind });
  }
  const out = [];
  let at = 0;
  for (const { from, to, kind } of merged) {
    if (from > at) out.push({ text: cut(at, from), kind: null });
    out.push({ text: cut(from, to), kind });
    at = to;
  }
  if (at < bytes.length) out.push({ text: cut(at), kind: null });
  return out;
}

/** Shortens long unmarked stretches; what is marked is never shortened. */
export function excerpt(all) {
  const head = (text) => text.match(new RegExp(`^.{0,${AROUND}}(?=\\s|$)`, "su"))?.[0] ?? [...text].slice(0, AROUND).join("");
  const tail = (text) => text.match(new RegExp(`(?<=\\s|^)\\S.{0,${AROUND}}$`, "su"))?.[0] ?? [...text].slice(-AROUND).join("");
  return all.map((piece, n) => {
    const before = n > 0; // something marked stands before it
    const after = n + 1 < all.length;
    if (piece.kind !== null || all.length === 1 || piece.text.length <= 2 * AROUND + 20) return piece;
    return { ...piece, text: `${before ? head(piece.text) : ""} … ${after ? tail(piece.text) : ""}` };
  });
}

/** A text with its marks as `<mark>` elements. */
export function marked(text, marks) {
  const mark = ({ text, kind }) => (kind === null ? text : make("mark", { class: kind }, text));
  return make("q", { class: "quoted" }, ...excerpt(pieces(text, marks)).map(mark));
}
