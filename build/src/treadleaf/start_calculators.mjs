// Starts the calculators under Node from the very files that a site publishes, and passes requests through their door.
//
//     node start_calculators.mjs SITE/runtime  < requests.json  > answers.json
//
// Both are JSON lists of texts: what goes into calculators.api.call, and what comes out of it. A request whose pixels
// matter may be written {"text": ..., "pixels": [numbers]}. Ends with status 1 when the start or a call fails.

import { createHash } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { gunzipSync } from "node:zlib";

/**
 * @typedef {object} Part
 * @property {string} path
 * @property {number} bytes
 * @property {string} sha256
 * @property {number} plain_bytes
 * @property {string} plain_sha256
 */

// Under Node Pyodide opens files by these names, where a browser is handed their bytes.
const NAMES = {
  pyodide: "pyodide.mjs",
  module: "pyodide.asm.mjs",
  wasm: "pyodide.asm.wasm",
  stdlib: "stdlib.zip",
  calculators: "calculators.zip",
};

/**
 * The bytes of a part after unpacking, checked against the manifest.
 * @param {string} folder
 * @param {Part} part
 * @returns {Buffer}
 */
function plain(folder, part) {
  const bytes = readFileSync(join(folder, part.path));
  const found = part.path.endsWith(".gz") ? gunzipSync(bytes) : bytes;
  const sha256 = createHash("sha256").update(found).digest("hex");
  if (sha256 !== part.plain_sha256) throw new Error(`${part.path} is not what manifest.json says it is`);
  return found;
}

/**
 * @param {string} folder  the site's runtime folder
 * @param {(string | {text: string, pixels: number[]})[]} requests
 * @returns {Promise<string[]>}
 */
async function answers(folder, requests) {
  const manifest = JSON.parse(readFileSync(join(folder, "manifest.json"), "utf8"));
  const home = mkdtempSync(join(tmpdir(), "treadleaf-start-"));
  try {
    for (const [role, name] of Object.entries(NAMES)) {
      writeFileSync(join(home, name), plain(folder, manifest.files[role]));
    }
    const { loadPyodide } = await import(pathToFileURL(join(home, NAMES.pyodide)).href);
    const python = await loadPyodide({
      indexURL: home,
      stdLibURL: join(home, NAMES.stdlib),
      lockFileContents: manifest.lock,
      packageBaseUrl: home,
    });
    python.FS.writeFile("/lib/calculators.zip", new Uint8Array(readFileSync(join(home, NAMES.calculators))));
    python.pyimport("sys").path.append("/lib/calculators.zip");
    const { call } = python.pyimport("calculators.api");
    const { bytearray } = python.pyimport("builtins");
    return requests.map((request) => {
      if (typeof request === "string") return call(request);
      const pixels = bytearray(python.toPy(new Uint8Array(request.pixels)));
      return call(request.text, pixels);
    });
  } finally {
    rmSync(home, { recursive: true });
  }
}

try {
  const folder = process.argv[2];
  if (folder === undefined) throw new Error("the site's runtime folder is missing");
  const texts = await answers(folder, JSON.parse(readFileSync(0, "utf8")));
  process.stdout.write(JSON.stringify(texts));
} catch (error) {
  // The message alone: Node would print the line where it was thrown, which in Pyodide is a megabyte long.
  console.error(error instanceof Error ? error.message : String(error));
  process.exitCode = 1;
}
