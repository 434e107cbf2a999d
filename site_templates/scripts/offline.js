// @ts-check
/**
 * Keeps the site on the device for the next visit without a network, and offers a newer version when there is one.
 * <html data-offline> says how far it is: installing, ready or unavailable. It never reloads the page unasked.
 */

/** A little longer than a calculator waits for a quiet moment to start. */
const PATIENCE_MS = 6_000;
const SERVICE_WORKER = new URL("../service-worker.js", import.meta.url);

/** @param {"installing" | "ready" | "unavailable"} state */
function show(state) {
  document.documentElement.dataset.offline = state;
}

/** @type {Promise<ServiceWorkerRegistration | undefined>} */
let registered = pageLoaded().then(register);
/** A calculator has been used on this page. */
let used = false;
addEventListener("online", tryAgain);

/** The visitor has taken the offer here. */
let taken = false;
/** Another version's service worker serves this page now, because the offer was taken in another tab. */
let overtaken = false;
if ("serviceWorker" in navigator) followController();

/**
 * Asks the service worker to keep the calculators' files as well; done once they have been used, so that nobody
 * downloads them for nothing. <html data-calculators="kept"> tells when they are all there.
 */
export async function keepCalculators() {
  used = true;
  if (!(await registered)) return;
  const { active } = await navigator.serviceWorker.ready;
  const { port1, port2 } = new MessageChannel();
  port1.addEventListener("message", ({ data }) => {
    if (data?.kind === "kept") document.documentElement.dataset.calculators = "kept";
    port1.close();
  });
  port1.start();
  active?.postMessage({ kind: "keep-calculators" }, [port2]);
}

/**
 * Whether this page is of an older version than the site, which may have lost what the page has not fetched yet. Asks the
 * site for a newer service worker; once that is installed, the offer to show the new version stands on the page.
 */
export async function isOutdated() {
  const registration = navigator.serviceWorker?.controller && (await registered);
  if (!registration) return false;
  const newer = () => overtaken || Boolean(registration.installing ?? registration.waiting);
  if (!newer()) await registration.update().catch(() => {}); // the site cannot be asked: no newer version is known
  return newer();
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

/** Once for each time that the network comes back, and only where the copy for later has failed; after what is under way. */
function tryAgain() {
  registered = registered.then((before) => {
    if (document.documentElement.dataset.offline !== "unavailable") return before;
    if (used) void keepCalculators(); // waits for what is registered here
    return register();
  });
}

async function register() {
  if (!("serviceWorker" in navigator)) {
    show("unavailable");
    return undefined;
  }
  try {
    const registration = await navigator.serviceWorker.register(SERVICE_WORKER, { updateViaCache: "none" });
    show(registration.active ? "ready" : "installing");
    if (registration.waiting) offerUpdate();
    follow(registration.installing, registration);
    registration.addEventListener("updatefound", () => follow(registration.installing, registration));
    return registration;
  } catch {
    // A browser in private mode may refuse, a host may lack https: the page works all the same, with a network.
    show("unavailable");
    return undefined;
  }
}

/**
 * @param {ServiceWorker | null} worker
 * @param {ServiceWorkerRegistration} registration
 */
function follow(worker, registration) {
  worker?.addEventListener("statechange", () => {
    if (worker.state === "activated") show("ready");
    if (worker.state === "redundant" && !registration.active) show("unavailable");
    if (worker.state === "installed" && navigator.serviceWorker.controller) offerUpdate();
  });
}

function followController() {
  let first = !navigator.serviceWorker.controller;
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (taken) location.reload();
    else if (first) first = false;
    else {
      overtaken = true;
      offerUpdate();
    }
  });
}

function offerUpdate() {
  const template = document.getElementById("update-offer");
  if (!(template instanceof HTMLTemplateElement) || document.querySelector("[data-update-offer]")) return;
  const bar = template.content.firstElementChild?.cloneNode(true);
  if (!(bar instanceof HTMLElement)) return;
  bar.dataset.updateOffer = "";
  bar.querySelector("button")?.addEventListener("click", () => void take());
  document.body.append(bar);
}

/** Looks only now for what waits: since the offer a still newer version may have come, or another tab have taken this one. */
async function take() {
  const waiting = (await registered)?.waiting;
  taken = Boolean(waiting);
  if (waiting) waiting.postMessage({ kind: "take-over" });
  else location.reload();
}
