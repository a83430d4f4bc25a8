import assert from "node:assert/strict";
import { load } from "salver";

const checker = await load();
const verdict = checker.check({ order: { allergies: ["sesame"] }, tray: { items: [{ name: "falafel with tahini sauce" }] } });
assert.equal(verdict.verdict, "return");
assert.ok(verdict.findings[0].because.some((step) => step.step === "made-with" && step.to === "sesame"));
