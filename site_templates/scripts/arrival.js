// @ts-check
/**
 * One file of the runtime as it arrives: unpacked on the way, and handed on only when it is the one that was published.
 */

import { Failure } from "./calculator-protocol.js";

/** @typedef {{path: string, bytes: number, sha256: string, plain_bytes: number, plain_sha256: string}} Part */
/** @typedef {{signal: AbortSignal, renew: () => void}} Patience  ends waiting; `renew` says that something came */

/**
 * @param {URL} address
 * @param {Part} part
 * @param {Patience} patience
 * @param {(received: number) => void} progress
 * @param {(chunk: Uint8Array<ArrayBuffer>) => void} [tell]  hears each unpacked piece, unchecked as yet
 * @returns {Promise<Uint8Array<ArrayBuffer>>}
 */
export async function fetchPart(address, part, patience, progress, tell) {
  try {
    return await receive(address, "default", part, patience, progress, tell);
  } catch (failure) {
    if (!(failure instanceof Failure) || failure.reason !== "altered") throw failure;
    // The browser may have kept a damaged copy: ask the site itself once.
    return receive(address, "reload", part, patience, progress, tell);
  }
}

/**
 * A part as it was before packing, once it is known to be the one that was published.
 * @param {URL} address
 * @param {RequestCache} cache
 * @param {Part} part
 * @param {Patience} patience
 * @param {(received: number) => void} progress
 * @param {(chunk: Uint8Array<ArrayBuffer>) => void} [tell]
 */
async function receive(address, cache, part, patience, progress, tell) {
  const { signal } = patience;
  const unpacker = new Unpacker(part.plain_bytes, tell);
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

  /** @type {((chunk: Uint8Array<ArrayBuffer>) => void) | undefined} */
  #tell;

  /** @param {number} length @param {(chunk: Uint8Array<ArrayBuffer>) => void} [tell] */
  constructor(length, tell) {
    this.#plain = new Uint8Array(length);
    this.#tell = tell;
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

  /** @param {ReadableStream<Uint8Array<ArrayBuffer>>} readable */
  async #drain(readable) {
    const reader = readable.getReader();
    for (;;) {
      const { done, value } = await altering(reader.read());
      if (done) return;
      this.#fill(value);
    }
  }

  /** @param {Uint8Array<ArrayBuffer>} chunk */
  #fill(chunk) {
    if (this.#filled + chunk.length > this.#plain.length) throw new Failure("altered", "longer than published");
    this.#plain.set(chunk, this.#filled);
    this.#filled += chunk.length;
    this.#tell?.(chunk);
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
export function canHash() {
  return Boolean(globalThis.crypto?.subtle);
}

/** Compiles while the bytes arrive. Nothing of it is used before they are known to be the published ones. */
export class EarlyCompiler {
  /** @type {ReadableStreamDefaultController<Uint8Array> | undefined} */
  #controller;
  /** @type {Promise<WebAssembly.Module | undefined>} */
  #early;

  constructor() {
    const stream = new ReadableStream({ start: (controller) => void (this.#controller = controller) });
    const response = new Response(stream, { headers: { "content-type": "application/wasm" } });
    this.#early = WebAssembly.compileStreaming(response).catch(() => undefined);
  }

  /** @param {Uint8Array} chunk */
  take(chunk) {
    try {
      this.#controller?.enqueue(chunk);
    } catch {
      this.#controller = undefined; // it has given up: what arrived cannot be compiled, or came twice
    }
  }

  /** @param {BufferSource} plain  all the bytes, checked @returns {Promise<WebAssembly.Module>} */
  async end(plain) {
    try {
      this.#controller?.close();
    } catch {
      // It has given up; the checked bytes are compiled below.
    }
    return (await this.#early) ?? WebAssembly.compile(plain);
  }
}
