// @ts-check
/**
 * Keeps the site on the device for the next visit without a network, and offers a newer version when there is one.
 * <html data-offline> says how far it is: installing, ready or unavailable. It never reloads the page unasked.
 */

const SERVICE_WORKER = new URL("../service-worker.js", import.meta.url);

/** @param {"installing" | "ready" | "unavailable"} state */
function show(state) {
  document.documentElement.dataset.offline = state;
}

/** @type {Promise<ServiceWorkerRegistration | undefined>} */
const registered = pageLoaded().then(register);

/**
 * Asks the service worker to keep the calculators' files as well; done once they have been used, so that nobody
 * downloads them for nothing. <html data-calculators="kept"> tells when they are all there.
 */
export async function keepCalculators() {
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

/** First the page, then its copy for later. */
async function pageLoaded() {
  if (document.readyState === "complete") return;
  await new Promise((resolve) => addEventListener("load", resolve, { once: true }));
}

async function register() {
  if (!("serviceWorker" in navigator)) {
    show("unavailable");
    return undefined;
  }
  try {
    const registration = await navigator.serviceWorker.register(SERVICE_WORKER, { updateViaCache: "none" });
    show(registration.active ? "ready" : "installing");
    if (registration.waiting) offerUpdate(registration.waiting);
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
    if (worker.state === "installed" && navigator.serviceWorker.controller) offerUpdate(worker);
  });
}

/** @param {ServiceWorker} waiting */
function offerUpdate(waiting) {
  const template = document.getElementById("update-offer");
  if (!(template instanceof HTMLTemplateElement) || document.querySelector("[data-update-offer]")) return;
  const bar = template.content.firstElementChild?.cloneNode(true);
  if (!(bar instanceof HTMLElement)) return;
  bar.dataset.updateOffer = "";
  bar.querySelector("button")?.addEventListener("click", () => {
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
    waiting.postMessage({ kind: "take-over" });
  });
  document.body.append(bar);
}
