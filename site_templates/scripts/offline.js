// @ts-check
/**
 * Keeps the site on the device for the next visit without a network, and knows what is really there: the service worker
 * reads and hashes every file that it keeps. What the device has lost or spoilt is fetched again.
 * <html data-offline> says how far the pages are: installing, ready, partly or unavailable; data-calculators is "kept"
 * when Python and the calculators are all there.
 */

import { isNewerKnown, offer } from "./new-version.js";
import { ask } from "./service-worker-client.js";

/** A little longer than a calculator waits for a quiet moment to start. */
const PATIENCE_MS = 6_000;
const SERVICE_WORKER = new URL("../service-worker.js", import.meta.url);
/** Other sites of the same host name keep theirs in the same place. */
const PREFIX = `treadleaf:${new URL(".", SERVICE_WORKER).pathname}:`;

/** @typedef {{listed: number, whole: number, damaged: number, bytes: number}} Count */
/**
 * What is known of this device. `reason` says why something could not be kept: the service worker's reasons, "stalled"
 * and "unsupported" among them.
 * @typedef {object} Kept
 * @property {"looking" | "installing" | "kept" | "none" | "unknown"} stage
 * @property {Count | undefined} [pages]
 * @property {Count | undefined} [runtime]
 * @property {{done: number, total: number}} [keeping]  bytes of the calculators, while they are being kept
 * @property {string | undefined} [reason]
 */

class Device extends EventTarget {
  /** @type {Kept} */
  kept = { stage: "looking" };

  /** @param {Kept} kept */
  become(kept) {
    this.kept = kept;
    const { dataset } = document.documentElement;
    const { stage, pages, runtime } = kept;
    if (pages) dataset.offline = pages.whole === pages.listed ? "ready" : "partly";
    else if (stage !== "looking" && stage !== "unknown") dataset.offline = stage === "installing" ? "installing" : "unavailable";
    if (runtime && runtime.whole === runtime.listed) dataset.calculators = "kept";
    else delete dataset.calculators;
    this.dispatchEvent(new Event("change"));
  }
}

/** Fires `change` at each new `kept`. */
export const device = new Device();

/** Whose truth an element tells: this device's, unless a page of samples puts another in its place. @type {{of: (teller: Element) => EventTarget & {kept: Kept}}} */
export const truth = { of: () => device };

/** The version in use, once its service worker has said it. @type {string | undefined} */
let version;
/** Why the last installation failed, as its service worker said. */
let refusal = "stalled";
navigator.serviceWorker?.addEventListener("message", ({ data }) => {
  if (data?.kind !== "not-installed" || data.scope !== new URL(".", SERVICE_WORKER).href) return;
  refusal = data.reason;
  if (device.kept.stage === "none") device.become({ stage: "none", reason: refusal });
});

/** @type {Promise<ServiceWorkerRegistration | undefined>} */
let registered = pageLoaded().then(register);
/** A calculator has been used on this page, or somebody has asked to keep them. */
let wanted = false;
/** Somebody has deleted the copy, here or on another page of the site: nothing is kept again unasked. */
let forgotten = false;
const others = globalThis.BroadcastChannel && new BroadcastChannel(PREFIX);
others?.addEventListener("message", emptied);
addEventListener("online", () => {
  if (!forgotten) void tryAgain();
});
addEventListener("visibilitychange", () => {
  // Meanwhile the browser may have made room.
  if (document.visibilityState === "visible" && device.kept.stage === "kept" && !device.kept.keeping) void tryAgain();
});

/**
 * Keeps the calculators' files as well: asked for once they have been used, so that nobody downloads them for nothing,
 * or by the visitor.
 */
export async function keepCalculators() {
  wanted = true;
  forgotten = false;
  // Where the site is not even kept itself, what is wanted follows it.
  if (device.kept.stage === "none") await tryAgain();
  else if (await registered) await keep("keep-calculators", (await navigator.serviceWorker.ready).active);
}

/**
 * Deletes what this site has kept here, and the service worker that would keep it again; the next page that is opened
 * keeps it anew. @returns {Promise<boolean>} whether it is gone
 */
export async function forget() {
  try {
    await (await navigator.serviceWorker.getRegistration(SERVICE_WORKER.href))?.unregister();
    for (const name of await caches.keys()) if (name.startsWith(PREFIX)) await caches.delete(name);
  } catch {
    return false;
  }
  others?.postMessage("emptied");
  emptied();
  return true;
}

function emptied() {
  forgotten = true;
  wanted = false;
  device.become({ stage: "none" });
}

/** Fetches again what is not whole, or installs the site where that has failed; after what is under way. */
export function tryAgain() {
  registered = registered.then(async (before) => {
    if (before?.active && /kept|unknown/.test(device.kept.stage)) await mend(before.active);
    return device.kept.stage === "none" ? register() : before;
  });
  return registered;
}

/**
 * Whether this page is of an older version than the site, which may have lost what the page has not fetched yet. Asks the
 * site for a newer service worker; once that is installed, the offer to show the new version stands on the page.
 */
export async function isOutdated() {
  const registration = navigator.serviceWorker?.controller && (await registered);
  if (!registration) return false;
  if (!isNewerKnown(registration)) await registration.update().catch(() => {}); // no answer: no newer version is known
  return isNewerKnown(registration);
}

/** @param {"keep-pages" | "keep-calculators"} what @param {ServiceWorker | null} worker */
async function keep(what, worker) {
  if (!worker) return;
  try {
    const { pages, runtime, reason } = await ask(worker, what, (done, total) => {
      const { kept } = device;
      if (what === "keep-calculators") device.become({ ...kept, reason: undefined, keeping: { done, total } });
    });
    device.become({ stage: "kept", pages, runtime, reason });
  } catch (error) {
    const { stage, pages, runtime } = device.kept;
    device.become({ stage, pages, runtime, reason: reasonOf(error) });
  }
}

/** What is on the device, and once more after mending what is not whole. @param {ServiceWorker} worker */
async function mend(worker) {
  try {
    const { pages, runtime, ...said } = await ask(worker, "look").catch(() => ask(worker, "look"));
    if (forgotten) return;
    version = said.version;
    device.become({ stage: "kept", pages, runtime });
    if (pages.whole < pages.listed) await keep("keep-pages", worker);
    if (runtime.damaged || (wanted && runtime.whole < runtime.listed)) await keep("keep-calculators", worker);
  } catch (error) {
    device.become({ stage: "unknown", reason: reasonOf(error) });
  }
}

/** @param {unknown} error */
function reasonOf(error) {
  return error instanceof Error ? error.message : "blocked";
}

/** First the page, then a calculator that is starting, then the copy for later: together they would slow each other down. */
async function pageLoaded() {
  if (document.readyState !== "complete") {
    await new Promise((resolve) => addEventListener("load", resolve, { once: true }));
  }
  // With a copy at hand there is little to install, and a calculator may be waiting for news of a later version.
  if (navigator.serviceWorker && !navigator.serviceWorker.controller) await calculatorSettled();
}

/** Until the page's calculator is ready or has failed; one that nobody starts is waited for a little while. */
function calculatorSettled() {
  const page = document.documentElement;
  return /** @type {Promise<void>} */ (new Promise((resolve) => {
    let patient = page.dataset.calculator === "asleep";
    const look = () => {
      const { calculator } = page.dataset;
      if (calculator === "loading" || (calculator === "asleep" && patient)) return;
      observer.disconnect();
      resolve();
    };
    const observer = new MutationObserver(look);
    observer.observe(page, { attributeFilter: ["data-calculator"] });
    setTimeout(() => {
      patient = false;
      look();
    }, PATIENCE_MS);
    look();
  }));
}

async function register() {
  if (!("serviceWorker" in navigator)) {
    device.become({ stage: "none", reason: "unsupported" });
    return undefined;
  }
  try {
    const registration = await navigator.serviceWorker.register(SERVICE_WORKER, { updateViaCache: "none" });
    follow(registration.installing, registration);
    registration.addEventListener("updatefound", () => follow(registration.installing, registration));
    if (registration.active) void mend(registration.active).then(() => registration.waiting && offer(registration, version));
    else device.become({ stage: "installing" });
    return registration;
  } catch {
    // A browser may refuse in private mode: the page works all the same, with a network.
    device.become({ stage: "none", reason: await whyRefused() });
    return undefined;
  }
}

/** Why the browser did not take the service worker, which it does not say: asked for, the site tells. */
async function whyRefused() {
  try {
    const { ok, headers } = await fetch(SERVICE_WORKER, { cache: "no-store" });
    if (!ok) return "refused";
    return /javascript/.test(headers.get("content-type") ?? "") ? "blocked" : "altered";
  } catch {
    return "offline";
  }
}

/** @param {ServiceWorker | null} worker @param {ServiceWorkerRegistration} registration */
function follow(worker, registration) {
  worker?.addEventListener("statechange", () => {
    if (worker.state === "activated") void mend(worker);
    if (worker.state === "redundant" && !registration.active) device.become({ stage: "none", reason: refusal });
    if (worker.state === "installed" && navigator.serviceWorker.controller) void offer(registration, version);
  });
}
