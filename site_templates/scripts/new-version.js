// @ts-check
/**
 * A newer version of the site waits until somebody takes it here or every page of the old one is closed. The offer does
 * not stand in the way of what is under way, and taking it breaks nothing off on any page of this site.
 */

import { inUse, usedElsewhere, whyStay } from "./in-use.js";
import { ask } from "./service-worker-client.js";

/** The visitor has taken the offer here, and what may be lost by it. @type {ReturnType<typeof whyStay> | undefined} */
let taken;
/** Another version serves this page now, and the page could not be shown anew because it was in use. */
let overtaken = false;
/** Not on this page: the next one offers it again. */
let later = false;
/** Typed fields would be cleared, and the visitor has been told. */
let told = false;
/** @type {ServiceWorkerRegistration | undefined} */
let site;
const SERVICE_WORKER = new URL("../service-worker.js", import.meta.url).href;

if (navigator.serviceWorker) followController();
inUse.addEventListener("change", arrange);

/**
 * @param {ServiceWorkerRegistration} registration  which has another version waiting
 * @param {string | undefined} version  the one in use, where it is known
 */
export async function offer(registration, version) {
  site = registration;
  if (!overtaken && (await isTheSame(registration.waiting, version))) return;
  const template = document.getElementById("update-offer");
  if (!(template instanceof HTMLTemplateElement) || bar() || later) return;
  const made = template.content.firstElementChild?.cloneNode(true);
  if (!(made instanceof HTMLElement)) return;
  made.dataset.updateOffer = "";
  made.querySelector("[data-take]")?.addEventListener("click", () => void take());
  made.querySelector("[data-later]")?.addEventListener("click", () => {
    later = true;
    made.remove();
  });
  document.body.append(made);
  arrange();
}

/** Whether a newer version is known, here or on the way. @param {ServiceWorkerRegistration} registration */
export function isNewerKnown(registration) {
  return overtaken || Boolean(registration.installing ?? registration.waiting);
}

/**
 * A version that was taken back and published again waits too, and nothing in it is new. Only the one that waits is asked:
 * a question to the one in use would make the browser put off the change.
 * @param {ServiceWorker | null} waiting @param {string | undefined} version
 */
async function isTheSame(waiting, version) {
  if (!waiting || !version) return false;
  const answer = await ask(waiting, "version").catch(() => undefined);
  return answer?.version === version;
}

function bar() {
  return /** @type {HTMLElement | null} */ (document.querySelector("[data-update-offer]"));
}

/** The offer is out of sight while something runs. */
function arrange() {
  const shown = bar();
  if (shown) shown.hidden = whyStay() === "running";
  if (whyStay() || !told) return;
  told = false;
  say("offer");
}

/** @param {"offer" | "typed" | "elsewhere" | "coming"} key */
function say(key) {
  const words = bar()?.querySelector("p");
  if (words) words.textContent = words.dataset[key] ?? "";
}

/** Looks only now for what waits: since the offer a still newer version may have come, or another page have taken this one. */
async function take() {
  if (whyStay() === "running") return;
  if (whyStay() === "typed" && !told) {
    told = true;
    say("typed");
    return;
  }
  if (await usedElsewhere()) {
    say("elsewhere");
    return;
  }
  const waiting = site?.waiting;
  taken = waiting ? whyStay() : undefined;
  say("coming"); // it may take a while: whatever the service worker in use is doing comes first
  if (waiting) waiting.postMessage({ kind: "take-over" });
  else location.reload();
}

function followController() {
  let first = navigator.serviceWorker.controller?.scriptURL !== SERVICE_WORKER;
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    // Since it was taken, something may have come into use here that nobody has agreed to lose.
    if (taken === whyStay()) location.reload();
    else if (first) first = false;
    else if (!whyStay()) location.reload();
    else {
      overtaken = true;
      if (site) void offer(site, undefined);
    }
  });
}
