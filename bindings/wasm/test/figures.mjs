// Prints sizes, and times of the same checks: the command (native) and the package in Node, one after the other.

import { execFileSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { gzipSync } from "node:zlib";

const [root, build] = process.argv.slice(2);
const kB = (n) => `${(n / 1000).toFixed(1)} kB`;

let raw = 0;
let zipped = 0;
for (const file of ["salver_bg.wasm", "salver.js", "index.js"]) {
  const bytes = readFileSync(`${root}/bindings/wasm/pkg/${file}`);
  const gzip = gzipSync(bytes, { level: 9 }).length;
  raw += bytes.length;
  zipped += gzip;
  console.log(`${file}: ${kB(bytes.length)}, gzipped ${kB(gzip)}`);
}
console.log(`all that a page loads: ${kB(raw)}, gzipped ${kB(zipped)}`);

const lines = readFileSync(`${build}/many.jsonl`, "utf8").trim().split("\n");
const ms = (from) => Number(process.hrtime.bigint() - from) / 1e6;
const least = (times, call) => Math.min(...Array.from({ length: times }, call));

writeFileSync(`${build}/one.jsonl`, lines[0] + "\n");
const native = (file) => {
  const from = process.hrtime.bigint();
  try {
    execFileSync(`${root}/target/release/salver`, ["check", "--json", file], { stdio: ["ignore", "pipe", "inherit"], maxBuffer: 1 << 30 });
  } catch (error) {
    if (error.status !== 1) throw error;
  }
  return ms(from);
};
const nativeFirst = least(5, () => native(`${build}/one.jsonl`));
const nativeEach = (least(3, () => native(`${build}/many.jsonl`)) - nativeFirst) / (lines.length - 1);

const program = `
  import { readFileSync } from "node:fs";
  const lines = readFileSync(process.argv[1], "utf8").trim().split("\\n");
  const { load } = await import(process.argv[2]);
  const from = performance.now();
  const checker = await load();
  checker.checkJson(lines[0]);
  const first = performance.now() - from;
  for (const line of lines.slice(0, 1000)) checker.checkJson(line);
  const then = performance.now();
  for (const line of lines) checker.checkJson(line);
  console.log(JSON.stringify([first, (performance.now() - then) / lines.length]));
`;
const wasm = Array.from({ length: 3 }, () =>
  JSON.parse(execFileSync(process.execPath, ["--input-type=module", "-e", program, `${build}/many.jsonl`, `${root}/bindings/wasm/pkg/node.js`])),
);
const [wasmFirst, wasmEach] = [0, 1].map((n) => Math.min(...wasm.map((times) => times[n])));
const row = (what, a, b, unit) => console.log(`${what}: native ${a.toFixed(1)} ${unit}, wasm ${b.toFixed(1)} ${unit}, ratio ${(b / a).toFixed(2)}`);
row("first check, with loading (native: the whole command)", nativeFirst, wasmFirst, "ms");
row("each further check", nativeEach * 1000, wasmEach * 1000, "us");
