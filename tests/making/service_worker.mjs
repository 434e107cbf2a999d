// Runs service workers under Node, one after the other, on a device that keeps what they kept.
//
//     node service_worker.mjs < {"scope": ..., "kept": {cache: [address]}, "versions": [{"script": ..., "files": {address: text}}]}
//
// Each version is installed and, where that works, takes over at once. Tells what is kept after each, what failed, and
// whether it unregistered itself.

import { readFileSync } from "node:fs";
import { runInNewContext } from "node:vm";

/** @type {{scope: string, kept: Record<string, string[]>, versions: {script: string, files: Record<string, string>}[]}} */
const { scope, kept, versions } = JSON.parse(readFileSync(0, "utf8"));

class Kept {
  /** @type {Map<string, Response>} */
  #responses;

  /** @param {string[]} addresses */
  constructor(addresses) {
    this.#responses = new Map(addresses.map((address) => [address, new Response("kept before")]));
  }

  /** @param {string} address */
  match = async (address) => this.#responses.get(address)?.clone();
  /** @param {string} address @param {Response} response */
  put = async (address, response) => void this.#responses.set(address, response);
  /** @param {string} address */
  delete = async (address) => this.#responses.delete(address);
  keys = async () => this.addresses().map((url) => ({ url }));
  addresses = () => [...this.#responses.keys()];
}

const device = new Map(Object.entries(kept).map(([name, addresses]) => [name, new Kept(addresses)]));
const caches = {
  keys: async () => [...device.keys()],
  /** @param {string} name */
  delete: async (name) => device.delete(name),
  /** @param {string} name */
  open: async (name) => {
    const found = device.get(name) ?? new Kept([]);
    device.set(name, found);
    return found;
  },
};

/** @typedef {(event: {waitUntil(step: Promise<unknown>): void}) => void} Listener */

/** @param {{script: string, files: Record<string, string>}} version */
async function run({ script, files }) {
  /** @type {Map<string, Listener>} */
  const listeners = new Map();
  let unregistered = false;
  const self = {
    registration: {
      scope,
      unregister: async () => (unregistered = true),
    },
    clients: { claim: async () => {}, matchAll: async () => [] },
    skipWaiting: async () => {},
    addEventListener: (/** @type {string} */ name, /** @type {Listener} */ listener) => listeners.set(name, listener),
  };
  const fetch = async (/** @type {string} */ address) =>
    address in files ? new Response(files[address]) : new Response("", { status: 404 });
  runInNewContext(script, { self, caches, fetch, crypto, URL, Headers, Response, TransformStream, AbortController, setTimeout, clearTimeout, setInterval, clearInterval });
  let failed = null;
  try {
    for (const name of ["install", "activate"]) {
      /** @type {Promise<unknown>[]} */
      const steps = [];
      listeners.get(name)?.({ waitUntil: (step) => void steps.push(step) });
      await Promise.all(steps);
    }
  } catch (error) {
    failed = String(error);
  }
  return { failed, unregistered, kept: Object.fromEntries([...device].map(([name, cache]) => [name, cache.addresses()])) };
}

const seen = [];
for (const version of versions) seen.push(await run(version));
process.stdout.write(JSON.stringify(seen));
