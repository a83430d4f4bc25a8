// Writes what goes in and what the library answers: `asks.json` is a list of [call, input, answer or error, overlay or not].
// Also `answers.ts`: the same answers as literals of their types, so that a field without a type fails to compile.

import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync, writeFileSync } from "node:fs";

const [root, build] = process.argv.slice(2);
const folder = `${root}/tests/cases/`;
const cases = readdirSync(folder).sort().flatMap((file) => JSON.parse(readFileSync(folder + file, "utf8")).cases);
const many = readFileSync(`${build}/many.jsonl`, "utf8").trim().split("\n").slice(0, 1000);

const checks = cases.map(({ name, order, tray }) => JSON.stringify({ id: name, order, tray }));
const foods = cases.flatMap(({ tray }) => tray.items ?? []).map(({ name, ingredients, tested }) =>
  JSON.stringify({ name, ingredients, tested }),
);
const cards = cases.filter(({ order }) => order.text).map(({ order }) => JSON.stringify({ text: order.text }));

const whole = checks[0];
const faults = [
  "[]", "null", "42", '"text"', "{}", "{", "}", "nonsense", '{"order":{},"tray":{"items":[]},"x":1}', '{"text":7}', '{"name":{}}',
  '{"order":[],"tray":[]}', '{"name":"\\ud800"}', '{"order":{"food_level":9},"tray":{"items":[]}}', '{"name":"a\\u0000b","ingredients":5}',
  "[".repeat(5000), '{"a":'.repeat(5000), `{"name":"${"x".repeat(2001)}"}`, `{"text":"${"x".repeat(10001)}"}`, "\u{1F374}\u0000\u0001",
  ...[1, 2, 3, 5, 8, 13].map((n) => whole.slice(0, Math.floor((whole.length * n) / 14))),
];

const command = (call, lines, flags) => {
  const { stdout } = run(`${root}/target/release/salver`, [...flags, call, "--json"], lines.join("\n") + "\n");
  const answers = stdout.trim().split("\n");
  if (answers.length !== lines.length) throw new Error(`${answers.length} answers to ${lines.length} lines`);
  return answers;
};

function run(program, args, input) {
  try {
    return { stdout: execFileSync(program, args, { input, encoding: "utf8", maxBuffer: 1 << 30 }) };
  } catch (error) {
    if (error.status === 1 || error.status === 2) return error; // Some tray is not to be served, or some line not to be read.
    throw error;
  }
}

const asks = [];
const overlay = ["--overlay", `${root}/examples/overlay.json`];
for (const [call, lines, flags] of [
  ["check", [...checks, ...many, ...faults], []],
  ["read", [...foods, ...faults], []],
  ["card", [...cards, ...faults], []],
  ["check", checks, overlay],
]) {
  command(call, lines, flags).forEach((answer, n) => asks.push([call, lines[n], answer, flags.length > 0]));
}
writeFileSync(`${build}/asks.json`, JSON.stringify(asks));

const of = (call) => asks.filter(([c, , answer]) => c === call && !answer.startsWith('{"error"')).map(([, , answer]) => answer);
const typed = (name, type, values) => `export const ${name}: ${type}[] = [\n${values.join(",\n")}\n];\n`;
writeFileSync(
  `${build}/answers.ts`,
  `import type { CardReading, Check, Reading, Verdict } from "${root}/bindings/wasm/pkg/index.js";\n` +
    typed("checks", "Check", checks) +
    typed("verdicts", "Verdict", of("check").slice(0, checks.length)) +
    typed("readings", "Reading", of("read")) +
    typed("cards", "CardReading", of("card")),
);
