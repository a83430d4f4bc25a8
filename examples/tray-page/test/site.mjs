// Serves the page's folder on a free port, as any static host would, and notes what was asked for.

import { readFile } from "node:fs/promises";
import { createServer } from "node:http";
import { extname, join, normalize } from "node:path";
import { fileURLToPath } from "node:url";

const FOLDER = fileURLToPath(new URL("..", import.meta.url));
const TYPES = {
  ".html": "text/html; charset=utf-8",
  ".css": "text/css",
  ".js": "text/javascript",
  ".svg": "image/svg+xml",
  ".wasm": "application/wasm",
  ".webmanifest": "application/manifest+json",
};

/**
 * A running site. `without` is a part of an address that is answered with 404; `edit` changes the bytes of an answer.
 */
export async function serve({ without = "\0", edit = (path, body) => body } = {}) {
  const asked = [];
  const server = createServer(async (request, response) => {
    const path = normalize(decodeURIComponent(new URL(request.url, "http://site").pathname));
    asked.push(`${request.method} ${request.url}`);
    try {
      if (path.includes(without)) throw new Error("left out");
      const file = path === "/" ? "/index.html" : path;
      const body = edit(file, await readFile(join(FOLDER, file)));
      response.writeHead(200, { "content-type": TYPES[extname(file)] ?? "application/octet-stream" }).end(body);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise((done) => server.listen(0, "127.0.0.1", done));
  return {
    url: `http://localhost:${server.address().port}/`,
    asked,
    stop: () => new Promise((done) => (server.close(done), server.closeAllConnections())),
  };
}
