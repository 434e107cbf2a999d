// @ts-check
/**
 * Starts Pyodide from bytes that are here already, and opens the calculators' door. Left to fetch its own files, Pyodide
 * reports no progress, checks nothing, and waits for ever where a host sends its .wasm under a wrong type.
 */

import { Failure } from "./calculator-protocol.js";

/**
 * What is used of a running Pyodide.
 * @typedef {{FS: {writeFile(path: string, data: Uint8Array): void}, pyimport(name: string): any}} Python
 */
/** @typedef {(request: string, pixels?: ArrayBuffer) => string} Door  calculators.api.call */

const LIMIT_MS = 60_000;
const CALCULATORS_ZIP = "/lib/calculators.zip";

/**
 * @param {string} runtime  absolute address of the site's runtime/ folder
 * @param {object} lock  Pyodide's list of packages
 * @param {any[]} scripts  its two modules, imported
 * @param {{wasm: WebAssembly.Module, stdlib: Uint8Array<ArrayBuffer>}} payloads
 * @returns {Promise<Python>}  rejects with a Failure
 */
export async function boot(runtime, lock, [pyodide, module], payloads) {
  const stdLibURL = new URL("python_stdlib.zip", runtime).href;
  const wasmURL = new URL("pyodide.asm.wasm", runtime).href;
  const realFetch = self.fetch;
  const realInstantiate = WebAssembly.instantiateStreaming;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  try {
    return await new Promise((resolve, reject) => {
      timer = setTimeout(() => reject(new Failure("start_failed", `not started within ${LIMIT_MS} ms`)), LIMIT_MS);
      self.fetch = (resource, options) => {
        const address = resource instanceof Request ? resource.url : String(resource);
        // The module is compiled already: Pyodide's request for it needs an answer, but nobody reads it.
        if (address === wasmURL) return Promise.resolve(new Response());
        return address === stdLibURL ? Promise.resolve(new Response(payloads.stdlib)) : realFetch(resource, options);
      };
      // Pyodide only warns when this fails, and then waits for ever.
      WebAssembly.instantiateStreaming = async (...[, imports]) => {
        try {
          return { module: payloads.wasm, instance: await WebAssembly.instantiate(payloads.wasm, imports) };
        } catch (error) {
          reject(new Failure("start_failed", String(error)));
          throw error;
        }
      };
      pyodide
        .loadPyodide({
          indexURL: runtime,
          packageBaseUrl: runtime,
          lockFileContents: lock,
          stdLibURL,
          createPyodideModule: module.default,
        })
        .then(resolve, reject);
    });
  } catch (error) {
    throw Failure.from(error, "start_failed");
  } finally {
    clearTimeout(timer);
    self.fetch = realFetch;
    WebAssembly.instantiateStreaming = realInstantiate;
  }
}

/**
 * @param {Python} python
 * @param {Uint8Array} calculators
 * @returns {Door}
 */
export function openDoor(python, calculators) {
  try {
    python.FS.writeFile(CALCULATORS_ZIP, calculators);
    const sys = python.pyimport("sys");
    sys.path.append(CALCULATORS_ZIP);
    sys.destroy();
    const api = python.pyimport("calculators.api");
    const call = api.call.copy(); // else it would end with `api`
    api.destroy();
    return (request, pixels) => (pixels ? callWithPixels(python, call, request, pixels) : call(request));
  } catch (error) {
    throw new Failure("start_failed", String(error));
  }
}

/**
 * Copies the pixels once, into a Python bytearray: arrays outside Python's own memory cannot be used there.
 * @param {Python} python
 * @param {(request: string, pixels: any) => string} call
 * @param {string} request
 * @param {ArrayBuffer} pixels
 */
function callWithPixels(python, call, request, pixels) {
  const builtins = python.pyimport("builtins");
  const bytes = builtins.bytearray(pixels.byteLength);
  const view = bytes.getBuffer("u8");
  view.data.set(new Uint8Array(pixels));
  view.release();
  try {
    return call(request, bytes);
  } finally {
    bytes.destroy();
    builtins.destroy();
  }
}
