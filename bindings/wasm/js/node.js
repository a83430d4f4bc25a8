// Node has no fetch for files: the module is read from beside this one.

import { readFile } from "node:fs/promises";
import { load as loadFrom } from "./index.js";

export { SalverError } from "./index.js";

export async function load({ overlay, wasm } = {}) {
  const file = overlay === undefined ? "salver_bg.wasm" : "salver_overlay_bg.wasm";
  return loadFrom({ overlay, wasm: wasm ?? (await readFile(new URL(file, import.meta.url))) });
}
