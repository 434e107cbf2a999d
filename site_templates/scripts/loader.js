// @ts-check
/**
 * Fetches Python and the calculators, with progress, and checks them before anything runs.
 */

import { boot, openDoor } from "./boot.js";
import { Failure, isFields, whyUnloaded } from "./calculator-protocol.js";

/** @typedef {{path: string, bytes: number, sha256: string, plain_bytes: number, plain_sha256: string}} Part */
/** @typedef {"pyodide" | "module" | "wasm" | "stdlib" | "calculators"} Role */
/** @typedef {{schema: number, version: string, lock: object, files: Record<Role, Part>}} Manifest */

/** Patience, in milliseconds. Each byte that arrives starts it again: a slow connection may take as long as it needs. */
const LIMITS = { stall: 20_000 };

/** @type {Role[]} */
const SCRIPTS = ["pyodide", "module"];
/** @type {Role[]} */
const PAYLOADS = ["wasm", "stdlib", "calculators"];

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
  let manifest, scripts, payloads;
  try {
    manifest = await readManifest(new URL("manifest.json", runtime), patience);
    const { files } = manifest;
    const count = counter(manifest, progress);
    const address = (/** @type {Role} */ role) => new URL(files[role].path, runtime);
    [scripts, payloads] = await Promise.all([
      Promise.all(SCRIPTS.map((role) => importChecked(address(role), files[role], patience, count(role)))),
      Promise.all(PAYLOADS.map((role) => fetchPart(address(role), files[role], patience, count(role)))),
    ]);
  } finally {
    patience.end();
  }
  const [wasm, stdlib, calculators] = payloads;
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
  return [...SCRIPTS, ...PAYLOADS].every((role) => {
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
 * Adds up what arrives of all parts.
 * @param {Manifest} manifest
 * @param {(done: number, total: number) => void} progress
 * @returns {(role: Role) => (received: number) => void}
 */
function counter(manifest, progress) {
  const total = [...SCRIPTS, ...PAYLOADS].reduce((bytes, role) => bytes + manifest.files[role].bytes, 0);
  /** @type {Record<string, number>} */
  const done = {};
  return (role) => (received) => {
    // More may arrive than was shipped, where the host has unpacked it.
    done[role] = Math.min(received, manifest.files[role].bytes);
    progress(Object.values(done).reduce((sum, count) => sum + count, 0), total);
  };
}

/**
 * @param {URL} address
 * @param {Part} part
 * @param {Patience} patience
 * @param {(received: number) => void} progress
 * @returns {Promise<Uint8Array<ArrayBuffer>>}
 */
async function fetchPart(address, part, patience, progress) {
  try {
    return await receive(address, "default", part, patience, progress);
  } catch (failure) {
    if (!(failure instanceof Failure) || failure.reason !== "altered") throw failure;
    // The browser may have kept a damaged copy: ask the site itself once.
    return receive(address, "reload", part, patience, progress);
  }
}

/**
 * A part as it was before packing, once it is known to be the one that was published.
 * @param {URL} address
 * @param {RequestCache} cache
 * @param {Part} part
 * @param {Patience} patience
 * @param {(received: number) => void} progress
 */
async function receive(address, cache, part, patience, progress) {
  const { signal } = patience;
  const unpacker = new Unpacker(part.plain_bytes);
  try {
    const response = await fetch(address, { cache, signal });
    if (!response.ok || !response.body) throw new Failure("not_found", `${response.status} for ${address.pathname}`);
    const reader = response.body.getReader();
    let received = 0;
    for (;;) {
      const { done, value } = await reader.read();
      if (done) break;
      received += value.length;
      patience.renew();
      progress(received);
      await unpacker.take(value);
    }
  } catch (error) {
    throw Failure.from(signal.aborted ? signal.reason : error, "offline");
  }
  const plain = await unpacker.end();
  if (canHash()) {
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", plain));
    const sha256 = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
    if (sha256 !== part.plain_sha256) throw new Failure("altered", `${part.path} has the hash ${sha256}`);
  }
  return plain;
}

/**
 * Unpacks while the bytes arrive, into a buffer of the length that must come out. Some hosts unpack a .gz on its way, so
 * the first byte decides and not the name: nothing else that is published begins with it.
 */
class Unpacker {
  static GZIP = 0x1f;

  /** @type {Uint8Array<ArrayBuffer>} */
  #plain;
  #filled = 0;
  #begun = false;
  /** @type {WritableStreamDefaultWriter<BufferSource> | undefined} */
  #writer;
  /** @type {Promise<void> | undefined} */
  #drained;

  /** @param {number} length */
  constructor(length) {
    this.#plain = new Uint8Array(length);
  }

  /** @param {Uint8Array<ArrayBuffer>} chunk */
  async take(chunk) {
    if (!this.#begun && chunk[0] === Unpacker.GZIP) {
      const { readable, writable } = new DecompressionStream("gzip");
      this.#writer = writable.getWriter();
      this.#drained = this.#drain(readable);
    }
    this.#begun = true;
    // Raced: once nothing drains any more, a write would wait for ever.
    if (this.#writer) await Promise.race([altering(this.#writer.write(chunk)), this.#drained]);
    else this.#fill(chunk);
  }

  /** @returns {Promise<Uint8Array<ArrayBuffer>>} */
  async end() {
    if (this.#writer) await Promise.all([altering(this.#writer.close()), this.#drained]);
    if (this.#filled !== this.#plain.length) throw new Failure("altered", `${this.#filled} bytes`);
    return this.#plain;
  }

  /** @param {ReadableStream<Uint8Array>} readable */
  async #drain(readable) {
    const reader = readable.getReader();
    for (;;) {
      const { done, value } = await altering(reader.read());
      if (done) return;
      this.#fill(value);
    }
  }

  /** @param {Uint8Array} chunk */
  #fill(chunk) {
    if (this.#filled + chunk.length > this.#plain.length) throw new Failure("altered", "longer than published");
    this.#plain.set(chunk, this.#filled);
    this.#filled += chunk.length;
  }
}

/**
 * What a stream that unpacks throws is about its bytes.
 * @template T
 * @param {Promise<T>} step
 * @returns {Promise<T>}
 */
async function altering(step) {
  try {
    return await step;
  } catch (error) {
    throw Failure.from(error, "altered");
  }
}

/** A browser gives its hash functions only to https addresses and to this machine's own. */
function canHash() {
  return Boolean(globalThis.crypto?.subtle);
}
