import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import * as salver from "../pkg/node.js";
import { compare, refused } from "./compare.mjs";

const root = new URL("../../../", import.meta.url);
const overlay = readFileSync(new URL("examples/overlay.json", root), "utf8");
const asks = JSON.parse(readFileSync(new URL("target/wasm/asks.json", root), "utf8"));
// Node sets up its own fetch, with a global symbol, when `Response` is first looked at.
assert.equal(typeof globalThis.Response, "function");
const before = Reflect.ownKeys(globalThis);
const plain = await salver.load();
const overlaid = await salver.load({ overlay });

test("every answer and every error is the library's, byte for byte", () => {
  assert.deepEqual(compare(salver, plain, overlaid, asks), { wrong: [], compared: asks.length });
});

test("what is no text, no data or too large is a typed error, and the checker goes on", () => {
  assert.deepEqual(refused(salver, plain), []);
  assert.equal(plain.read({ name: "peanut butter" }).holds.peanut, "contains");
});

test("objects give the same as text", () => {
  const [, input, answer] = asks[0];
  assert.deepEqual(plain.check(JSON.parse(input)), JSON.parse(answer));
  assert.deepEqual(plain.card({ text: "NKFA, puree" }), JSON.parse(plain.cardJson('{"text":"NKFA, puree"}')));
});

test("an overlay that is refused says all that is wrong, and a refused one leaves the others alone", async () => {
  for (const bad of ["", "{", "[]", '{"format":2,"name":"x","version":"1"}', '{"format":1,"name":"x","version":"1","additions":{"nope":{}}}']) {
    const error = await salver.load({ overlay: bad }).then(assert.fail, (error) => error);
    assert.ok(error instanceof salver.SalverError && error.problems.length > 0 && error.remedy, `${bad}: ${error}`);
    assert.equal(error.problems[0].what, error.what);
  }
  await assert.rejects(salver.load({ overlay: 7 }), salver.SalverError);
  assert.equal(plain.check({ order: { allergies: ["milk"] }, tray: { items: [{ name: "butter" }] } }).verdict, "return");
});

test("versions are those of the library and of the answers", () => {
  const { library, ontology, digest, format } = plain.versions();
  const stamp = JSON.parse(asks[0][2]).ontology;
  assert.deepEqual({ version: ontology, digest }, stamp);
  assert.match(readFileSync(new URL("Cargo.toml", root), "utf8"), new RegExp(`^version = "${library}"$`, "m"));
  assert.equal(JSON.parse(readFileSync(new URL("../pkg/package.json", import.meta.url), "utf8")).version, library);
  assert.equal(format, 1);
  assert.notEqual(overlaid.versions().digest, digest);
});

test("nothing becomes global", () => {
  assert.deepEqual(Reflect.ownKeys(globalThis), before);
});
