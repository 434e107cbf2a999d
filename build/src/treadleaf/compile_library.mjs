// Makes the files that the browser starts from, by running compile_library.py inside Pyodide under Node.
//
//     node compile_library.mjs PYODIDE_FOLDER  < jobs.json
//
// PYODIDE_FOLDER is the unpacked npm package. Each job reads one file, hands its bytes to one function of
// compile_library.py and writes what comes back. Ends with status 1 and Python's own message when a job fails.

import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

/**
 * @typedef {object} Job
 * @property {"compiled" | "packed"} make  a function of compile_library.py
 * @property {string} from  file to read
 * @property {string} to  file to write
 * @property {string} place  path at which Pyodide will find the file
 */

const PROGRAM = new URL("compile_library.py", import.meta.url);

/**
 * @param {string} folder
 * @param {Job[]} jobs
 */
async function make(folder, jobs) {
  const { loadPyodide } = await import(pathToFileURL(join(folder, "pyodide.mjs")).href);
  const python = await loadPyodide({ indexURL: folder });
  python.runPython(readFileSync(PROGRAM, "utf8"), { filename: "compile_library.py" });
  for (const job of jobs) {
    const bytes = python.toPy(new Uint8Array(readFileSync(job.from)));
    const made = python.globals.get(job.make)(bytes, job.place);
    writeFileSync(job.to, made.toJs());
    made.destroy();
    bytes.destroy();
  }
}

try {
  const folder = process.argv[2];
  if (folder === undefined) throw new Error("the folder of the unpacked Pyodide package is missing");
  await make(folder, JSON.parse(readFileSync(0, "utf8")));
} catch (error) {
  // The message alone: Node would print the line where it was thrown, which in Pyodide is a megabyte long.
  console.error(error instanceof Error ? error.message : String(error));
  process.exitCode = 1;
}
