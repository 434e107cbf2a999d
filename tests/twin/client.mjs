// Plays the page's end of the calculators against workers that say what they are told to, and tells what the page sees.
//
//     node client.mjs SCRIPTS_FOLDER  < {"site": ..., "workers": [{action: [replies]}], "questions": [{"pixels": [...]}]}
//
// `site` says what a look for a newer version finds: "unkept" (no service worker), "current" or "newer".

import { readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

/** @typedef {Record<string, Record<string, unknown>[]>} Plan  the replies to each action, in order, without their ids */
/** @type {{site: "unkept" | "current" | "newer", workers: Plan[], questions: {pixels?: number[]}[]}} */
const { site, workers, questions } = JSON.parse(readFileSync(0, "utf8"));

const folder = process.argv[2];
if (folder === undefined) throw new Error("the folder of the scripts is missing");
const { readRequest } = await import(pathToFileURL(join(folder, "calculator-protocol.js")).href);

/** @type {{action: string, input: unknown, pixels: number[] | undefined}[]} */
const sent = [];
let started = 0;
let ended = 0;

class PlannedWorker extends EventTarget {
  #plan = workers[started++] ?? {};
  #ended = false;

  constructor() {
    super();
    queueMicrotask(() => this.#say({ id: 0, kind: "listening" }));
  }

  /**
   * @param {unknown} message
   * @param {ArrayBuffer[]} transfer
   */
  postMessage(message, transfer) {
    const { id, action, input, pixels } = readRequest(structuredClone(message, { transfer }));
    sent.push({ action, input, pixels: pixels && [...new Uint8Array(pixels)] });
    const reply = this.#plan[action]?.shift();
    queueMicrotask(() => this.#say({ id, ...reply }));
  }

  terminate() {
    this.#ended = true;
    ended += 1;
  }

  /** @param {object} data */
  #say(data) {
    if (!this.#ended) this.dispatchEvent(new MessageEvent("message", { data }));
  }
}

class Registration extends EventTarget {
  active = {};
  installing = null;
  /** @type {object | null} */
  waiting = null;

  async update() {
    if (site === "newer") this.waiting = {};
  }
}

function serviceWorker() {
  const ready = new Promise(() => {}); // what is kept for later is another test's
  return Object.assign(new EventTarget(), { controller: {}, ready, register: async () => new Registration() });
}

/** @param {Record<string, unknown>} values */
function browserHas(values) {
  for (const [name, value] of Object.entries(values)) Object.defineProperty(globalThis, name, { value });
}

browserHas({
  Worker: PlannedWorker,
  navigator: site === "unkept" ? {} : { serviceWorker: serviceWorker() },
  document: { readyState: "complete", documentElement: { dataset: {} }, getElementById: () => null, querySelector: () => null, querySelectorAll: () => [] },
  HTMLTemplateElement: class {},
  addEventListener: () => {},
});

const { client } = await import(pathToFileURL(join(folder, "calculator-client.js")).href);
/** @type {[string, string | null][]} */
const states = [];
client.addEventListener("change", () => states.push([client.state, client.failure?.reason ?? null]));

const outcomes = [];
for (const { pixels } of questions) {
  const buffer = pixels && new Uint8Array(pixels).buffer;
  try {
    outcomes.push(await client.ask("footprint_widths", {}, buffer && { pixels: buffer }));
  } catch (error) {
    outcomes.push(/** @type {{reason: string}} */ (error).reason);
  }
  if (buffer) outcomes.push(buffer.byteLength);
}
// What the page still waits for, such as an answer of the service worker, nobody here will give.
process.stdout.write(JSON.stringify({ outcomes, states, sent, started, ended }), () => process.exit());
