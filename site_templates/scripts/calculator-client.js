// @ts-check
/**
 * The page's end of the calculators: one worker for all components of a page, started when it is wanted.
 */

import { Failure, readReply, START, whyUnloaded } from "./calculator-protocol.js";
import { begin } from "./in-use.js";
import { isOutdated, keepCalculators } from "./offline.js";

/** @typedef {import("./calculator-protocol.js").Fields} Fields */
/** @typedef {"asleep" | "loading" | "ready" | "failed"} State */
/** @typedef {{resolve: (value: any) => void, reject: (failure: Failure) => void, timer: ReturnType<typeof setTimeout> | undefined}} Waiting */

const LIMITS = { listening: 20_000, answer: 30_000, picture: 120_000, idle: 4_000 };

const WORKER = new URL("./worker.js", import.meta.url);

// The worker's whole source: a worker from a blob is bound by the page's content security policy. The import is a call
// and not a statement, because one browser engine does not ask the service worker for a blob's import statements.
const SOURCE = `import(${JSON.stringify(WORKER.href)}).catch((error) =>
  postMessage({ id: 0, kind: "unloaded", detail: String(error) }));`;

/**
 * Asks the calculators. Fires `change` at each new `state`, and while loading whenever `done` and `total` have changed.
 * Every promise rejects with a Failure, whose `reason` is one of the protocol's REASONS. Whatever fails ends the worker:
 * Python that broke once is not asked again, and the next question starts another.
 */
export class CalculatorClient extends EventTarget {
  /** @type {State} */
  state = "asleep";
  /** Why `state` is "failed"; undefined in any other state. @type {Failure | undefined} */
  failure;
  /** Bytes received so far, and in all; 0 before anything is known. */
  done = 0;
  total = 0;
  /** How far the files were checked, once ready. @type {"" | "sha256" | "length"} */
  checked = "";

  /** @type {Worker | undefined} */
  #worker;
  /** @type {Promise<void> | undefined} */
  #starting;
  /** @type {Map<number, Waiting>} */
  #waiting = new Map();
  #lastId = 0;

  /**
   * Starts the worker unless it is started already; after a failure, a new one.
   * @returns {Promise<void>}
   */
  start() {
    // Not at once: a listener of `change` may ask again before this line is done.
    this.#starting ??= Promise.resolve().then(() => this.#start());
    return this.#starting;
  }

  /** Starts once the page has nothing better to do. Not where the visitor asked their browser to save data. */
  startWhenIdle() {
    const { connection } = /** @type {Navigator & {connection?: {saveData?: boolean}}} */ (navigator);
    if (connection?.saveData) return;
    const start = () => void this.start().catch(() => {}); // whoever asks later is told
    if ("requestIdleCallback" in globalThis) requestIdleCallback(start, { timeout: LIMITS.idle });
    else setTimeout(start, LIMITS.idle);
  }

  /**
   * Asks one calculator and resolves to what `calculators.api.call` answers: a result or a refusal.
   * Pixels are handed over, not copied.
   * @param {string} action
   * @param {Fields} input
   * @param {{pixels?: ArrayBuffer}} [options]
   * @returns {Promise<Fields>}
   */
  async ask(action, input, { pixels } = {}) {
    const end = begin();
    try {
      await this.start();
      return await this.#send({ action, input, pixels }, pixels ? [pixels] : [], new Failure("no_answer", action));
    } finally {
      end();
    }
  }

  /** Stops whatever is going on at once, by ending the worker; the next question starts another. */
  cancel() {
    this.#stop("asleep", new Failure("cancelled"));
  }

  async #start() {
    this.done = this.total = 0;
    this.#become("loading");
    const blob = URL.createObjectURL(new Blob([SOURCE], { type: "text/javascript" }));
    let worker;
    try {
      worker = this.#worker = this.#newWorker(blob);
      // What is sent before the worker listens is lost.
      await this.#wait(0, LIMITS.listening, new Failure("stalled", "the worker's scripts"));
      this.checked = await this.#send({ action: START, input: {} }, []);
    } catch (thrown) {
      const failure = await explained(Failure.from(thrown, "start_failed"));
      // Where it was cancelled, another worker may have been started since.
      if (this.#worker === worker) this.#stop("failed", failure);
      throw failure;
    } finally {
      URL.revokeObjectURL(blob);
    }
    this.#become("ready");
    void keepCalculators();
  }

  /** @param {string} blob */
  #newWorker(blob) {
    const worker = new Worker(blob, { type: "module" });
    const broke = (/** @type {string} */ detail) => {
      if (this.#worker === worker) this.#stop("failed", new Failure("start_failed", detail));
    };
    worker.addEventListener("message", ({ data }) => {
      if (this.#worker !== worker) return;
      try {
        this.#read(data);
      } catch (error) {
        broke(String(error));
      }
    });
    worker.addEventListener("error", ({ message }) => broke(message));
    return worker;
  }

  /**
   * @param {{action: string, input: Fields, pixels?: ArrayBuffer | undefined}} message
   * @param {Transferable[]} transfer
   * @param {Failure} [late]  what it counts as when no answer comes in time
   * @returns {Promise<any>}
   */
  #send(message, transfer, late) {
    if (!this.#worker) return Promise.reject(new Failure("cancelled", "between the start and the question"));
    const id = ++this.#lastId;
    this.#worker.postMessage({ id, ...message }, transfer);
    return this.#wait(id, message.pixels ? LIMITS.picture : LIMITS.answer, late);
  }

  /**
   * @param {number} id
   * @param {number} patience  milliseconds
   * @param {Failure} [late]
   * @returns {Promise<any>}
   */
  #wait(id, patience, late) {
    return new Promise((resolve, reject) => {
      const timer = late && setTimeout(() => this.#stop("failed", late), patience);
      this.#waiting.set(id, { resolve, reject, timer });
    });
  }

  /** @param {unknown} data */
  #read(data) {
    const reply = readReply(data);
    if (reply.kind === "progress") {
      this.done = reply.done;
      this.total = reply.total;
      this.dispatchEvent(new Event("change"));
      return;
    }
    if (reply.kind === "failed" && this.state === "ready") {
      this.#stop("failed", new Failure(reply.reason, reply.detail));
      return;
    }
    const waiting = this.#waiting.get(reply.id);
    if (!waiting) throw new TypeError("a reply to nothing that was asked");
    this.#waiting.delete(reply.id);
    clearTimeout(waiting.timer);
    settle(waiting, reply);
  }

  /**
   * Ends the worker, and with it everything that was asked.
   * @param {State} state
   * @param {Failure} failure
   */
  #stop(state, failure) {
    if (!this.#starting) return;
    this.#worker?.terminate();
    this.#worker = undefined;
    this.#starting = undefined;
    for (const { reject, timer } of this.#waiting.values()) {
      clearTimeout(timer);
      reject(failure);
    }
    this.#waiting.clear();
    this.#become(state, state === "failed" ? failure : undefined);
  }

  /**
   * @param {State} state
   * @param {Failure} [failure]
   */
  #become(state, failure) {
    this.state = state;
    this.failure = failure;
    document.documentElement.dataset.calculator = state;
    this.dispatchEvent(new Event("change"));
  }
}

/**
 * @param {Waiting} waiting
 * @param {Exclude<import("./calculator-protocol.js").Reply, {kind: "progress"}>} reply
 */
function settle({ resolve, reject }, reply) {
  switch (reply.kind) {
    case "listening":
      return resolve(undefined);
    case "ready":
      return resolve(reply.checked);
    case "answer":
      return resolve(reply.answer);
    case "failed":
      return reject(new Failure(reply.reason, reply.detail));
    case "unloaded":
      return void whyUnloaded(WORKER).then((reason) => reject(new Failure(reason, reply.detail)));
  }
}

/**
 * Files that are gone or changed because the site has been published anew are nobody's fault.
 * @param {Failure} failure
 * @returns {Promise<Failure>}
 */
async function explained(failure) {
  const gone = failure.reason === "not_found" || failure.reason === "altered";
  return gone && (await isOutdated()) ? new Failure("outdated", failure.message) : failure;
}

/**
 * What a component needs of the calculators' client.
 * @typedef {Pick<CalculatorClient, "state" | "failure" | "done" | "total" | "start" | "startWhenIdle" | "ask" | "cancel" | "addEventListener">} Client
 */

/** The one that all components of the page share. <html data-calculator> says how far it is. */
export const client = new CalculatorClient();

/** Whom a component asks: the one client of the page, unless a page of samples puts another in its place. @type {{of: (component: Element) => Client}} */
export const clients = { of: () => client };
document.documentElement.dataset.calculator = client.state;

addEventListener("pagehide", () => client.cancel());
