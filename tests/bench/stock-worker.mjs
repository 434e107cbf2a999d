// @ts-check
/** A start of Python in the way that its own documentation begins with; the calculators are plain sources in a zip. */

// @ts-expect-error: the untouched package lies beside this file only where it is served
import { loadPyodide } from "./pyodide.mjs";

const input = { age_years: 41, left: { ball_mm: 90, middle_mm: 36, heel_mm: 60 } };
const python = await loadPyodide();
const sources = await fetch("calculators.zip");
python.FS.writeFile("/lib/calculators.zip", new Uint8Array(await sources.arrayBuffer()));
python.pyimport("sys").path.append("/lib/calculators.zip");
const { call } = python.pyimport("calculators.api");
const answer = JSON.parse(call(JSON.stringify({ schema: 1, action: "footprint_widths", input })));
globalThis.postMessage(JSON.stringify(answer));
