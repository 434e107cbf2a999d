// Opens the calculators' door under Node with the very function that the browser's worker uses.
//
//     node door.mjs SCRIPTS_FOLDER PYODIDE_FOLDER CALCULATORS_ZIP  < [{"text": ..., "pixels": [numbers]}]  > answers.json
//
// An answer is the text that came out, or null where the door threw.

import { readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const [scripts, pyodide, calculators] = process.argv.slice(2);
if (!scripts || !pyodide || !calculators) throw new Error("three paths are needed");
const { openDoor } = await import(pathToFileURL(join(scripts, "boot.js")).href);
const { loadPyodide } = await import(pathToFileURL(join(pyodide, "pyodide.mjs")).href);

const door = openDoor(await loadPyodide({ indexURL: pyodide }), new Uint8Array(readFileSync(calculators)));

/** @param {{text: string, pixels?: number[]}} request */
function answer({ text, pixels }) {
  try {
    return door(text, pixels && new Uint8Array(pixels).buffer);
  } catch {
    return null;
  }
}

/** @type {{text: string, pixels?: number[]}[]} */
const requests = JSON.parse(readFileSync(0, "utf8"));
process.stdout.write(JSON.stringify(requests.map(answer)));
