import assert from "node:assert/strict";
import { createServer } from "node:http";
import { createRequire } from "node:module";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";

const root = new URL("../../../", import.meta.url);
const { chromium } = createRequire(new URL("target/wasm/npm/", root))("playwright-core");
const types = { js: "text/javascript", mjs: "text/javascript", json: "application/json", wasm: "application/wasm" };
const files = {
  "/asks.json": "target/wasm/asks.json",
  "/overlay.json": "examples/overlay.json",
  "/compare.mjs": "bindings/wasm/test/compare.mjs",
};

let browser, page, server;
const asked = [];

before(async () => {
  server = createServer(async (request, response) => {
    asked.push(request.url);
    const path = files[request.url] ?? (request.url.startsWith("/pkg/") ? `bindings/wasm${request.url}` : undefined);
    if (path === undefined) return response.setHeader("content-type", "text/html").end("<!doctype html><title>test</title>");
    response.setHeader("content-type", types[path.split(".").pop()]).end(await readFile(new URL(path, root)));
  });
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
  page = await browser.newPage();
  await page.goto(`http://127.0.0.1:${server.address().port}/`);
});

after(async () => {
  await browser?.close();
  server.close();
});

test("every answer and every error is the library's, byte for byte; nothing else is fetched, nothing becomes global", async () => {
  const { compared, wrong, kept, added } = await page.evaluate(async () => {
    const before = Reflect.ownKeys(globalThis);
    const salver = await import("/pkg/index.js");
    const { compare, refused } = await import("/compare.mjs");
    const overlay = await (await fetch("/overlay.json")).text();
    const [plain, overlaid] = [await salver.load(), await salver.load({ overlay })];
    const asks = await (await fetch("/asks.json")).json();
    const added = Reflect.ownKeys(globalThis).filter((key) => !before.includes(key));
    return { ...compare(salver, plain, overlaid, asks), kept: refused(salver, plain), added };
  });
  assert.deepEqual({ wrong, kept, added }, { wrong: [], kept: [], added: [] });
  assert.ok(compared > 1000);
  const modules = ["salver", "salver_overlay"].flatMap((name) => [`/pkg/${name}.js`, `/pkg/${name}_bg.wasm`]);
  const own = ["/", "/favicon.ico", "/pkg/index.js", ...modules, ...Object.keys(files)];
  assert.deepEqual(asked.filter((url) => !own.includes(url)), []);
});

test("the module may be handed over as bytes, response or compiled module", async () => {
  for (const way of ["bytes", "response", "promise", "module"]) {
    await page.reload();
    const verdict = await page.evaluate(async (way) => {
      const { load } = await import("/pkg/index.js");
      const fetched = fetch("/pkg/salver_bg.wasm");
      const wasm = {
        bytes: async () => (await fetched).arrayBuffer(),
        response: () => fetched,
        promise: async () => ({ still: fetched }),
        module: () => WebAssembly.compileStreaming(fetched),
      };
      const given = await wasm[way]();
      const checker = await load({ wasm: given.still ?? given });
      return checker.check({ order: { allergies: ["egg"] }, tray: { items: [{ name: "omelette" }] } }).verdict;
    }, way);
    assert.equal(verdict, "return", way);
  }
});
