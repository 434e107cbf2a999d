// @ts-check
/**
 * Fetches Python and the calculators, with progress, and checks them before anything runs.
 */

import { EarlyCompiler, canHash, fetchPart } from "./arrival.js";
import { boot, openDoor } from "./boot.js";
import { Failure, isFields, whyUnloaded } from "./calculator-protocol.js";

/** @typedef {import("./arrival.js").Part} Part */
/** @typedef {"pyodide" | "module" | "wasm" | "stdlib" | "calculators"} Role */
/** @typedef {{schema: number, version: string, lock: object, files: Record<Role, Part>}} Manifest */

/** Patience, in milliseconds. Each byte that arrives starts it again: a slow connection may take as long as it needs. */
const LIMITS = { stall: 20_000 };

/** @type {Role[]} */
const SCRIPTS = ["pyodide", "module"];
/** @type {Role[]} */
const PAYLOADS = ["stdlib", "calculators"];
/** @type {Role[]} */
const ROLES = [...SCRIPTS, "wasm", ...PAYLOADS];

const SCHEMA = 1;

/**
 * Starts Python with the calculators and gives back their door.
 * @param {string} runtime  absolute address of the site's runtime/ folder
 * @param {(done: number, total: number) => void} progress  bytes as shipped
 * @returns {Promise<{door: import("./boot.js").Door, checked: "sha256" | "length"}>}  rejects with a Failure
 */
export async function load(runtime, progress) {
  await refuseOldBrowser();
  const patience = new Patience();
  let manifest, scripts, wasm, payloads;
  try {
    manifest = await readManifest(new URL("manifest.json", runtime), patience);
    const { files } = manifest;
    const count = counter(manifest, progress);
    const address = (/** @type {Role} */ role) => new URL(files[role].path, runtime);
    [scripts, wasm, payloads] = await Promise.all([
      Promise.all(SCRIPTS.map((role) => importChecked(address(role), files[role], patience, count(role)))),
      fetchModule(address("wasm"), files.wasm, patience, count("wasm")),
      Promise.all(PAYLOADS.map((role) => fetchPart(address(role), files[role], patience, count(role)))),
    ]);
  } finally {
    patience.end();
  }
  const [stdlib, calculators] = payloads;
  const python = await boot(runtime, manifest.lock, scripts, { wasm, stdlib });
  return { door: openDoor(python, calculators), checked: canHash() ? "sha256" : "length" };
}

/** Ends waiting that leads nowhere. */
class Patience {
  #controller = new AbortController();
  #stall = this.#wait();

  get signal() {
    return this.#controller.signal;
  }

  /** Something arrived. */
  renew() {
    clearTimeout(this.#stall);
    this.#stall = this.#wait();
  }

  end() {
    clearTimeout(this.#stall);
  }

  #wait() {
    return setTimeout(() => this.#controller.abort(stalled(LIMITS.stall)), LIMITS.stall);
  }
}

/** @param {number} limit  milliseconds */
function stalled(limit) {
  return new Failure("stalled", `nothing arrived for ${Math.round(limit)} ms`);
}

async function refuseOldBrowser() {
  if (typeof WebAssembly === "undefined" || !WebAssembly.instantiateStreaming) throw new Failure("too_old", "no WebAssembly");
  if (typeof DecompressionStream === "undefined") throw new Failure("too_old", "no DecompressionStream");
  try {
    await WebAssembly.compile(new Uint8Array([0, 0x61, 0x73, 0x6d, 1, 0, 0, 0])); // the smallest module there is
  } catch (error) {
    throw new Failure("start_failed", `WebAssembly is not allowed here: ${error}`);
  }
}

/**
 * @param {URL} address
 * @param {Patience} patience
 * @returns {Promise<Manifest>}
 */
async function readManifest(address, patience) {
  const { signal } = patience;
  try {
    const response = await fetch(address, { cache: "no-cache", signal });
    if (!response.ok) throw new Failure("not_found", `${response.status} for ${address.pathname}`);
    const manifest = await response.json();
    if (!isManifest(manifest)) throw new Failure("altered", "manifest.json is not a list of this kind");
    return manifest;
  } catch (error) {
    if (error instanceof SyntaxError) throw new Failure("altered", "manifest.json is not JSON");
    throw Failure.from(signal.aborted ? signal.reason : error, "offline");
  }
}

/**
 * @param {unknown} value
 * @returns {value is Manifest}
 */
function isManifest(value) {
  if (!isFields(value) || value.schema !== SCHEMA || !isFields(value.files) || !isFields(value.lock)) return false;
  const { files } = value;
  return ROLES.every((role) => {
    const part = files[role];
    // A path is a bare name: it cannot lead out of runtime/.
    if (!isFields(part) || typeof part.path !== "string" || !/^[\w-][\w.-]*$/.test(part.path)) return false;
    return Number.isInteger(part.bytes) && Number.isInteger(part.plain_bytes) && typeof part.plain_sha256 === "string";
  });
}

/**
 * A script is asked for twice: once to be checked, and once by the browser, which runs it from its own cache. So a damaged
 * file, another version or a sign-in page never runs. A host that lies the second time could have changed this script too.
 * @param {URL} address
 * @param {Part} part
 * @param {Patience} patience
 * @param {(received: number) => void} progress
 */
async function importChecked(address, part, patience, progress) {
  const asked = performance.now();
  await fetchPart(address, part, patience, progress);
  // A host may forbid the browser to keep files: then the script comes a second time, as slowly as the first, unseen.
  const limit = LIMITS.stall + performance.now() - asked;
  try {
    return await within(limit, import(address.href));
  } catch (error) {
    throw error instanceof Failure ? error : new Failure(await whyUnloaded(address.href), String(error));
  }
}

/**
 * @param {number} limit  milliseconds
 * @param {Promise<any>} promise  which no signal can stop
 */
function within(limit, promise) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(stalled(limit)), limit);
    promise.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}

/**
 * @param {URL} address
 * @param {Part} part
 * @param {Patience} patience
 * @param {(received: number) => void} progress
 */
async function fetchModule(address, part, patience, progress) {
  const compiler = new EarlyCompiler();
  const plain = await fetchPart(address, part, patience, progress, (chunk) => compiler.take(chunk));
  try {
    return await compiler.end(plain);
  } catch (error) {
    throw new Failure("too_old", String(error));
  }
}

/**
 * Adds up what arrives of all parts.
 * @param {Manifest} manifest
 * @param {(done: number, total: number) => void} progress
 * @returns {(role: Role) => (received: number) => void}
 */
function counter(manifest, progress) {
  const total = ROLES.reduce((bytes, role) => bytes + manifest.files[role].bytes, 0);
  /** @type {Record<string, number>} */
  const done = {};
  return (role) => (received) => {
    // More may arrive than was shipped, where the host has unpacked it.
    done[role] = Math.min(received, manifest.files[role].bytes);
    progress(Object.values(done).reduce((sum, count) => sum + count, 0), total);
  };
}
