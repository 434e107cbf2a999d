// @ts-check
/** A question to a service worker of this site, and its answer. */

/** How long nothing may be heard: a browser may end a service worker in the middle of its work, and says nothing then. */
const SILENCE_MS = { version: 5_000, look: 60_000, "keep-pages": 60_000, "keep-calculators": 60_000 };

/**
 * Resolves to what the worker answers; rejects with an Error whose message is the reason's key, "stalled" among them.
 * @param {ServiceWorker} worker
 * @param {keyof typeof SILENCE_MS} kind
 * @param {(done: number, total: number) => void} [progress]  bytes
 * @returns {Promise<any>}
 */
export function ask(worker, kind, progress = () => {}) {
  const { port1, port2 } = new MessageChannel();
  return new Promise((resolve, reject) => {
    const giveUp = () => reject(new Error("stalled"));
    let timer = setTimeout(giveUp, SILENCE_MS[kind]);
    port1.addEventListener("message", ({ data }) => {
      clearTimeout(timer);
      if (data.kind === "done") resolve(data);
      else if (data.kind === "failed") reject(new Error(data.reason));
      else {
        timer = setTimeout(giveUp, SILENCE_MS[kind]);
        progress(data.done, data.total);
      }
    });
    port1.start();
    worker.postMessage({ kind }, [port2]);
  }).finally(() => port1.close());
}
