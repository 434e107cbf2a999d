// @ts-check
/**
 * Serves the site from the device. The pages are fetched and checked when a version is installed, all or none; the
 * calculators' files, which are large, when they are first used. It fetches nothing but this site's own files.
 *
 * To switch it off for good, publish a service-worker.js that only unregisters itself; SECURITY.md has the lines.
 */

/**
 * Path beside this file -> the SHA-256 that its bytes may have. Two for a .gz: a host may unpack it on its way.
 * @typedef {Record<string, string[]>} Listed
 */
/** @typedef {{version: string, pages: Listed, runtime: Listed}} Site */

/** @type {Site} Written by the builder. */
const SITE = /*{site*/ { version: "", pages: {}, runtime: {} } /*site}*/;

const AT_ONCE = 6;
const HASH = "x-treadleaf-sha256";

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const scope = new URL(worker.registration.scope);

// Cache storage is shared by all sites of an origin, so the names carry this one's folder.
const prefix = `treadleaf:${scope.pathname}:`;
const PAGES = `${prefix}pages:${SITE.version}`;
// The large files carry their hash in their names, so one cache serves every version.
const RUNTIME = `${prefix}runtime`;

/** Large files on their way into that cache. @type {Map<string, Promise<void>>} */
const arriving = new Map();

worker.addEventListener("install", (event) => event.waitUntil(install()));
worker.addEventListener("activate", (event) => event.waitUntil(activate()));

worker.addEventListener("message", (event) => {
  if (event.data?.kind === "take-over") event.waitUntil(worker.skipWaiting());
  if (event.data?.kind === "keep-calculators") event.waitUntil(keepRuntime(event.ports[0]));
});

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || request.headers.has("range")) return;
  if (url.origin !== scope.origin || !url.pathname.startsWith(scope.pathname)) return;
  const path = listed(url);
  if (path && Object.hasOwn(SITE.runtime, path)) event.respondWith(large(path, event));
  else if (path) event.respondWith(page(path, request));
  else if (request.mode === "navigate") event.respondWith(unlisted(request));
});

async function install() {
  const older = await Promise.all((await caches.keys()).filter((name) => name.startsWith(prefix)).map((name) => caches.open(name)));
  const cache = await caches.open(PAGES);
  const queue = Object.entries(SITE.pages).values();
  const take = async () => {
    for (const [path, hashes] of queue) {
      await cache.put(address(path), (await copyFrom(older, path, hashes)) ?? (await checked(path, hashes, "no-cache")));
    }
  };
  try {
    await Promise.all(Array.from({ length: AT_ONCE }, take));
  } catch (error) {
    await caches.delete(PAGES);
    throw error;
  }
}

async function activate() {
  for (const name of await caches.keys()) {
    if (name.startsWith(prefix) && name !== PAGES && name !== RUNTIME) await caches.delete(name);
  }
  const runtime = await caches.open(RUNTIME);
  const current = new Set(Object.keys(SITE.runtime).map(address));
  for (const { url } of await runtime.keys()) {
    if (!current.has(url)) await runtime.delete(url);
  }
  await worker.clients.claim();
}

/**
 * The same file in an older version of this site, if it was the same there.
 * @param {Cache[]} older
 * @param {string} path
 * @param {string[]} hashes
 */
async function copyFrom(older, path, hashes) {
  for (const cache of older) {
    const found = await cache.match(address(path));
    if (found && hashes.includes(found.headers.get(HASH) ?? "")) return found;
  }
  return undefined;
}

/**
 * A file from the network, refused unless it is the one that was published.
 * @param {string} path
 * @param {string[]} hashes
 * @param {RequestCache} cache
 */
async function checked(path, hashes, cache) {
  return verified(await fetch(address(path), { cache }), path, hashes);
}

/**
 * A response made anew: one that was redirected could not answer a navigation.
 * @param {Response} response
 * @param {string} path
 * @param {string[]} hashes
 */
async function verified(response, path, hashes) {
  if (!response.ok) throw new Error(`${response.status} for ${path}`);
  const bytes = await response.arrayBuffer();
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const hash = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  if (!hashes.includes(hash)) throw new Error(`${path} is not what was published`);
  const headers = new Headers({ [HASH]: hash });
  const type = response.headers.get("content-type");
  if (type) headers.set("content-type", type);
  return new Response(bytes, { headers });
}

/**
 * @param {string} path
 * @param {Request} request
 */
async function page(path, request) {
  const kept = await (await caches.open(PAGES)).match(address(path));
  return kept ?? fetch(request);
}

/**
 * A large file: from the device, else from the network as it arrives, so that its progress can be seen. The loader
 * checks what it gets; what is kept here is checked here.
 * @param {string} path
 * @param {FetchEvent} event
 */
async function large(path, event) {
  const cache = await caches.open(RUNTIME);
  // The loader has just fetched a script to check it: what runs is the checked copy, and nothing comes twice.
  if (event.request.destination === "script") await arriving.get(path);
  const kept = await cache.match(address(path));
  if (kept) return kept;
  const response = await fetch(event.request);
  const keeping = keep(path, response.clone(), cache);
  arriving.set(path, keeping);
  event.waitUntil(keeping);
  return response;
}

/**
 * @param {string} path
 * @param {Response} response
 * @param {Cache} cache
 */
async function keep(path, response, cache) {
  try {
    await cache.put(address(path), await verified(response, path, SITE.runtime[path] ?? []));
  } catch {
    // Not kept; the loader says what is wrong.
  } finally {
    arriving.delete(path);
  }
}

/**
 * Fetches what is missing of the large files, from the browser's own cache where it can, and says so when all are here.
 * @param {MessagePort | undefined} port
 */
async function keepRuntime(port) {
  const cache = await caches.open(RUNTIME);
  for (const [path, hashes] of Object.entries(SITE.runtime)) {
    await arriving.get(path);
    if (await cache.match(address(path))) continue;
    const found = await checked(path, hashes, "force-cache").catch(() => checked(path, hashes, "reload"));
    await cache.put(address(path), found);
  }
  port?.postMessage({ kind: "kept" });
}

/**
 * A page that is not listed: an old link, or one that the host adds. Without a network the page for lost visitors.
 * @param {Request} request
 */
async function unlisted(request) {
  try {
    return await fetch(request);
  } catch (error) {
    const lost = await (await caches.open(PAGES)).match(address("404.html"));
    if (!lost) throw error;
    return new Response(lost.body, { status: 503, headers: lost.headers });
  }
}

/**
 * The listed path that an address means, whatever its query. Some hosts leave out index.html, and some .html.
 * @param {URL} url
 * @returns {string | undefined}
 */
function listed(url) {
  const path = decoded(url.pathname.slice(scope.pathname.length));
  const meant = [path, path === "" || path.endsWith("/") ? `${path}index.html` : `${path}.html`];
  return meant.find((name) => Object.hasOwn(SITE.pages, name) || Object.hasOwn(SITE.runtime, name));
}

/** @param {string} path */
function decoded(path) {
  try {
    return decodeURIComponent(path);
  } catch {
    return path;
  }
}

/** @param {string} path */
function address(path) {
  return new URL(path.split("/").map(encodeURIComponent).join("/"), scope).href;
}
