// Byte spans to marked text, without a browser.

import assert from "node:assert/strict";
import { test } from "node:test";
import { excerpt, pieces } from "../parts/spans.js";

const bytes = (text) => Buffer.byteLength(text);
const span = (text, words) => [bytes(text.slice(0, text.indexOf(words))), bytes(text.slice(0, text.indexOf(words) + words.length))];
const mark = (text, words, kind = "cause") => ({ span: span(text, words), kind });
const shown = (all) => all.map(({ text, kind }) => (kind ? `[${text}]` : text)).join("");

test("spans count bytes, not characters", () => {
  for (const [text, words] of [
    ["tahini sauce", "sauce"],
    ["crème brûlée with almonds", "almonds"],
    ["🍵 tea, crème brûlée 👩🏽‍🍳 cake", "brûlée 👩🏽‍🍳"],
    ["cre\u0300me bru\u0302le\u0301e (decomposed) milk", "milk"],
    ["味噌汁 豆腐", "豆腐"],
    ["\ufeffmilk \ufefftea", "tea"],
    ["a\u0000b milk", "milk"],
  ]) {
    assert.deepEqual(shown(pieces(text, [mark(text, words)])), text.replace(words, `[${words}]`));
  }
});

test("marks are sorted, merged where they overlap, and dropped where they are empty", () => {
  const text = "é whey é milk";
  assert.equal(shown(pieces(text, [mark(text, "milk"), mark(text, "whey")])), "é [whey] é [milk]");
  assert.equal(shown(pieces(text, [mark(text, "whey é"), mark(text, "é milk")])), "é [whey é milk]");
  assert.equal(shown(pieces(text, [{ span: [4, 4], kind: "unread" }])), text);
  assert.equal(shown(pieces(text, [{ span: [11, 999], kind: "unread" }])), "é whey é [milk]");
  assert.deepEqual(pieces("", [{ span: [0, 0], kind: "unread" }]), []);
});

test("nothing of a text is lost or added, whatever the spans", () => {
  const signs = ["a", " ", "é", "ü", "豆", "🍵", "👩🏽‍🍳", "e\u0301", "\n"];
  let seed = 7;
  const below = (n) => (seed = (seed * 48271) % 2147483647) % n;
  for (let round = 0; round < 2000; round += 1) {
    const parts = Array.from({ length: below(12) }, () => signs[below(signs.length)]);
    const edges = parts.reduce((at, part) => [...at, at.at(-1) + bytes(part)], [0]);
    const spans = Array.from({ length: below(4) }, () => [edges[below(edges.length)], edges[below(edges.length)]]);
    const all = pieces(parts.join(""), spans.map((s) => ({ span: s, kind: "cause" })));
    assert.equal(all.map(({ text }) => text).join(""), parts.join(""));
  }
});

test("an excerpt keeps what is marked and the words around it", () => {
  const text = `${"flour, ".repeat(200)}whey powder${", sugar".repeat(200)}, salt`;
  const short = shown(excerpt(pieces(text, [mark(text, "whey powder"), mark(text, "salt")])));
  assert.ok(short.length < 400, short);
  assert.match(short, /^ … flour.*flour, \[whey powder\], sugar.* … sugar.*, \[salt\]$/s);
  const unbroken = `${"x".repeat(500)}🍵${"y".repeat(500)}`;
  assert.ok(shown(excerpt(pieces(unbroken, [mark(unbroken, "🍵")]))).length < 150);
});
