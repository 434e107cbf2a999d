// @ts-check
/**
 * What the page and the calculators' worker say to each other, and why there may be no answer.
 * Both sides read messages only through these functions: what has another shape is a fault in our own code.
 */

/** Why there is no answer. Each has its words in strings/, under calculator.failed; "cancelled" is never shown. */
export const REASONS = Object.freeze(
  /** @type {const} */ ([
    "offline", // the files could not be reached
    "not_found", // the site answers, but not with the files
    "outdated", // the site has been published anew since this page was kept, and its files have gone
    "altered", // a file is not the one that was published
    "stalled", // the files did not arrive in time
    "too_old", // the browser lacks what Python needs
    "start_failed", // the files are whole, but Python did not start or broke
    "no_answer", // an answer took too long
    "cancelled", // nobody wants the answer any more
  ]),
);

/** @typedef {(typeof REASONS)[number]} Reason */
/** @typedef {Record<string, unknown>} Fields */
/**
 * To the worker: `start`, with nothing in its input, or a calculator's action.
 * @typedef {{id: number, action: string, input: Fields, pixels?: ArrayBuffer}} Request
 */
/**
 * From the worker, unasked, with the id 0: its scripts are there and it listens, or they did not load.
 * @typedef {{id: 0, kind: "listening"}} Listening
 * @typedef {{id: 0, kind: "unloaded", detail: string}} Unloaded
 */
/**
 * From the worker, to the request of that id. `checked` says how far the files were checked: by length alone where the browser withholds
 * its hash functions, as it does on a plain http address other than this machine's own.
 * @typedef {{id: number, kind: "progress", done: number, total: number}} Progress
 * @typedef {{id: number, kind: "ready", checked: "sha256" | "length"}} Ready
 * @typedef {{id: number, kind: "answer", answer: Fields}} Answer
 * @typedef {{id: number, kind: "failed", reason: Reason, detail: string}} Failed
 * @typedef {Listening | Unloaded | Progress | Ready | Answer | Failed} Reply
 */

export const START = "start";

/** No answer, with the key of the reason and, for whoever mends it, a detail that is not shown to visitors. */
export class Failure extends Error {
  /**
   * @param {Reason} reason
   * @param {string} [detail]
   */
  constructor(reason, detail = "") {
    super(detail ? `${reason}: ${detail}` : reason);
    this.name = "Failure";
    this.reason = reason;
    this.detail = detail;
  }

  /**
   * Anything thrown, as a failure.
   * @param {unknown} thrown
   * @param {Reason} reason  what it counts as, unless it says so itself
   */
  static from(thrown, reason) {
    return thrown instanceof Failure ? thrown : new Failure(reason, String(thrown));
  }
}

/**
 * @param {unknown} data
 * @returns {Request}
 */
export function readRequest(data) {
  if (!isFields(data) || !isId(data.id) || typeof data.action !== "string" || !isFields(data.input)) {
    throw new TypeError("not a request to the calculators");
  }
  if (data.pixels !== undefined && !(data.pixels instanceof ArrayBuffer)) throw new TypeError("pixels are not a buffer");
  return /** @type {Request} */ (data);
}

/** @type {Record<string, (reply: Fields) => boolean>} */
const REPLIES = {
  listening: (reply) => reply.id === 0,
  unloaded: (reply) => reply.id === 0 && typeof reply.detail === "string",
  progress: (reply) => isId(reply.id) && isCount(reply.done) && isCount(reply.total),
  ready: (reply) => isId(reply.id) && (reply.checked === "sha256" || reply.checked === "length"),
  answer: (reply) => isId(reply.id) && isFields(reply.answer),
  failed: (reply) => isId(reply.id) && REASONS.some((reason) => reason === reply.reason) && typeof reply.detail === "string",
};

/**
 * @param {unknown} data
 * @returns {Reply}
 */
export function readReply(data) {
  const known = isFields(data) && typeof data.kind === "string" && Object.hasOwn(REPLIES, data.kind);
  if (!known || !REPLIES[/** @type {string} */ (data.kind)]?.(data)) throw new TypeError("not a reply from the calculators");
  return /** @type {Reply} */ (/** @type {unknown} */ (data));
}

/**
 * Why a script did not load, which the browser does not say: asked for it again, the site tells.
 * @param {URL | string} address
 * @returns {Promise<Reason>}
 */
export async function whyUnloaded(address) {
  try {
    const response = await fetch(address, { cache: "no-cache" });
    await response.body?.cancel();
    return response.ok ? "altered" : "not_found";
  } catch {
    return "offline";
  }
}

/**
 * @param {unknown} value
 * @returns {value is Fields}
 */
export function isFields(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value) && !(value instanceof ArrayBuffer);
}

/** @param {unknown} value */
function isId(value) {
  return Number.isSafeInteger(value) && /** @type {number} */ (value) > 0;
}

/** @param {unknown} value */
function isCount(value) {
  return Number.isSafeInteger(value) && /** @type {number} */ (value) >= 0;
}
