// @ts-check
/**
 * The worker in which the calculators run. A page starts it from a blob that imports this file: such a worker is bound
 * by the page's content security policy, where a worker started from an address is not.
 */

import { Failure, readRequest, START } from "./calculator-protocol.js";
import { load } from "./loader.js";

/** @typedef {import("./calculator-protocol.js").Request} Request */
/** @typedef {import("./calculator-protocol.js").Reply} Reply */

const SCHEMA = 1;
// From this file's own address: no message can make the worker load its Python from elsewhere.
const RUNTIME = new URL("../runtime/", import.meta.url).href;

const scope = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** @type {import("./boot.js").Door | undefined} */
let door;

scope.addEventListener("message", async (event) => {
  const request = readRequest(event.data);
  try {
    reply(request.action === START ? await start(request.id) : answer(request));
  } catch (thrown) {
    const { reason, detail } = Failure.from(thrown, "start_failed");
    reply({ id: request.id, kind: "failed", reason, detail });
  }
});

/**
 * @param {number} id
 * @returns {Promise<Reply>}
 */
async function start(id) {
  const { door: opened, checked } = await load(RUNTIME, (done, total) => reply({ id, kind: "progress", done, total }));
  door = opened;
  return { id, kind: "ready", checked };
}

/**
 * @param {Request} request
 * @returns {Reply}
 */
function answer({ id, action, input, pixels }) {
  if (!door) throw new Failure("start_failed", "asked before the start");
  return { id, kind: "answer", answer: JSON.parse(door(JSON.stringify({ schema: SCHEMA, action, input }), pixels)) };
}

/** @param {Reply} message */
function reply(message) {
  scope.postMessage(message);
}

reply({ id: 0, kind: "listening" });
