// @ts-check
/**
 * Serves the site from the device. The pages are fetched and checked when a version is installed, all or none; the
 * calculators' files, which are large, when they are first used or when somebody asks to keep them. What is kept is
 * hashed again before it is shown, and what a device has lost or spoilt is fetched anew. It fetches nothing but this
 * site's own files. How to switch it off for good stands in SECURITY.md.
 */

/** Path beside this file -> the SHA-256 that it may have: two for a .gz, as a host may unpack it. @typedef {Record<string, string[]>} Listed */
/** @typedef {{version: string, bytes: {pages: number, runtime: number}, pages: Listed, runtime: Listed}} Site */
/**
 * Why something could not be kept: "offline", no answer; "stalled", no end of it; "refused", the host has no such file;
 * "altered", what came is not what was published; "full", no room; "blocked", anything else that the browser says no to.
 * @typedef {"offline" | "stalled" | "refused" | "altered" | "full" | "blocked"} Reason
 */
/** @typedef {{listed: number, whole: number, damaged: number, bytes: number}} Count  files; bytes of all that are listed */
/** @typedef {{cache: string, files: Listed, bytes: number}} Part @typedef {(done: number, total: number) => void} Progress  bytes */

/** @type {Site} Written by the builder. */
const SITE = /*{site*/ { version: "", bytes: { pages: 0, runtime: 0 }, pages: {}, runtime: {} } /*site}*/;

const AT_ONCE = 6;
/** Each byte that arrives starts it again: a slow connection may take as long as it needs. */
const PATIENCE_MS = 30_000;
const SIGN_MS = 5_000;
// What a copy says as its host did. Not the policy: a page has its own, and a host's wrong one must not outlive its mending.
const SAID = ["content-type", "x-frame-options", "permissions-policy", "cross-origin-opener-policy"];
/** Nor must a wrong type. @type {Record<string, string>} */
const TYPES = { html: "text/html; charset=utf-8", css: "text/css; charset=utf-8", js: "text/javascript; charset=utf-8", svg: "image/svg+xml" };
const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const scope = new URL(worker.registration.scope);

// Cache storage is shared by all sites of an origin, so the names carry this one's folder.
const prefix = `treadleaf:${scope.pathname}:`;
/** @type {Part} */
const PAGES = { cache: `${prefix}pages:${SITE.version}`, files: SITE.pages, bytes: SITE.bytes.pages };
// The large files carry their hash in their names, so one cache serves every version.
/** @type {Part} */
const RUNTIME = { cache: `${prefix}runtime`, files: SITE.runtime, bytes: SITE.bytes.runtime };

class Trouble extends Error {
  /** @param {Reason} reason @param {string} detail */
  constructor(reason, detail) {
    super(`${reason}: ${detail}`);
    this.reason = reason;
  }
}

/** Large files on their way into that cache. @type {Map<string, Promise<void>>} */
const arriving = new Map();

/** What a page may ask, each answered once by "done" or "failed" on the port that came with it. @type {Record<string, (progress: Progress) => Promise<object | void>>} */
const TASKS = {
  "take-over": () => worker.skipWaiting(),
  version: async () => ({ version: SITE.version }),
  look,
  "keep-pages": (progress) => fill(PAGES, [], progress).then(look, lookAfter),
  "keep-calculators": (progress) => fill(RUNTIME, [], progress).then(look, lookAfter),
};

worker.addEventListener("install", (event) => event.waitUntil(install()));
worker.addEventListener("activate", (event) => event.waitUntil(activate()));

worker.addEventListener("message", (event) => {
  const [port] = event.ports;
  const kind = String(event.data?.kind);
  const task = Object.hasOwn(TASKS, kind) ? TASKS[kind] : undefined;
  if (!task) return;
  const steps = task((done, total) => port?.postMessage({ kind: "progress", done, total }));
  const done = (/** @type {object | void} */ answer) => port?.postMessage({ kind: "done", ...answer });
  event.waitUntil(steps.then(done, (error) => port?.postMessage({ kind: "failed", reason: reasonOf(error) })));
});

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || request.headers.has("range")) return;
  if (url.origin !== scope.origin || !url.pathname.startsWith(scope.pathname)) return;
  const path = listed(url);
  if (path && Object.hasOwn(RUNTIME.files, path)) event.respondWith(large(path, event));
  else if (path) event.respondWith(page(path, request));
  else if (request.mode === "navigate") event.respondWith(unlisted(request));
});

async function install() {
  const names = (await caches.keys()).filter((name) => name.startsWith(prefix) && name !== RUNTIME.cache);
  try {
    await fill(PAGES, await Promise.all(names.map((name) => caches.open(name))), () => {});
    // Calculators that were kept stay kept: this version may need others.
    if ((await (await caches.open(RUNTIME.cache)).keys()).length) await fill(RUNTIME, [], () => {});
  } catch (error) {
    // Published again after another, this very version may be the one in use: its pages stay.
    if (!names.includes(PAGES.cache)) await caches.delete(PAGES.cache);
    const waiting = await worker.clients.matchAll({ type: "window", includeUncontrolled: true });
    for (const client of waiting) client.postMessage({ kind: "not-installed", scope: scope.href, reason: reasonOf(error) });
    throw error;
  }
}

async function activate() {
  for (const name of await caches.keys()) {
    if (name.startsWith(prefix) && name !== PAGES.cache && name !== RUNTIME.cache) await caches.delete(name);
  }
  const runtime = await caches.open(RUNTIME.cache);
  const current = new Set(Object.keys(RUNTIME.files).map(address));
  for (const { url } of await runtime.keys()) {
    if (!current.has(url)) await runtime.delete(url);
  }
  await worker.clients.claim();
}

/** The truth about this device: every file that is kept is read and hashed. */
async function look() {
  return { version: SITE.version, pages: await count(PAGES), runtime: await count(RUNTIME) };
}

/** @param {unknown} error */
async function lookAfter(error) {
  return { ...(await look()), reason: reasonOf(error) };
}

/** @param {Part} part @returns {Promise<Count>} */
async function count({ cache: name, files, bytes }) {
  const cache = await caches.open(name);
  const counted = { listed: 0, whole: 0, damaged: 0, bytes };
  for (const [path, hashes] of Object.entries(files)) {
    const found = await cache.match(address(path));
    counted.listed += 1;
    if (await intact(found, path, hashes)) counted.whole += 1;
    else if (found) counted.damaged += 1;
  }
  return counted;
}

/**
 * Fetches what is missing or damaged of a part, unless another cache of this site has the same file.
 * @param {Part} part @param {Cache[]} others @param {Progress} progress
 */
async function fill({ cache: name, files, bytes: total }, others, progress) {
  let done = 0;
  /** @param {number} bytes */
  const came = (bytes) => progress((done = Math.min(done + bytes, total)), total); // more comes where a host unpacks
  const alive = setInterval(() => came(0), SIGN_MS);
  const cache = await caches.open(name);
  const queue = Object.entries(files).values();
  const take = async () => {
    for (const [path, hashes] of queue) {
      await arriving.get(path);
      const kept = await copyFrom([cache], path, hashes);
      const found = kept ?? (await copyFrom(others, path, hashes));
      if (found) came(Number(found.headers.get("content-length")));
      const fresh = () => checked(path, hashes, "no-cache", came).catch(() => checked(path, hashes, "reload", came));
      if (!kept) await hold(path, cache, found ?? fresh());
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, take)).finally(() => clearInterval(alive));
}

/**
 * Puts a file on the device as soon as it is here; whoever wants the same one can wait for it.
 * @param {string} path @param {Cache} cache @param {Response | Promise<Response>} coming
 */
async function hold(path, cache, coming) {
  const held = Promise.resolve(coming).then((response) => cache.put(address(path), response));
  arriving.set(path, held.catch(() => {}).finally(() => arriving.delete(path)));
  await held;
}

/** The file itself in one of these caches. @param {Cache[]} kept @param {string} path @param {string[]} hashes */
async function copyFrom(kept, path, hashes) {
  for (const cache of kept) {
    const found = await intact(await cache.match(address(path)), path, hashes);
    if (found) return found;
  }
  return undefined;
}

/** A file from the network, if it is what was published. @param {string} path @param {string[]} hashes @param {RequestCache} cache @param {(bytes: number) => void} came */
async function checked(path, hashes, cache, came) {
  const stop = new AbortController();
  const wait = () => setTimeout(() => stop.abort(), PATIENCE_MS);
  let timer = wait();
  const counted = new TransformStream({
    transform(chunk, controller) {
      clearTimeout(timer);
      timer = wait();
      came(chunk.length);
      controller.enqueue(chunk);
    },
  });
  try {
    const response = await fetch(address(path), { cache, signal: stop.signal });
    const { status, headers } = response;
    return await verified(new Response(response.body?.pipeThrough(counted), { status, headers }), path, hashes);
  } catch (error) {
    throw stop.signal.aborted ? new Trouble("stalled", path) : error;
  } finally {
    clearTimeout(timer);
  }
}

/** A response made anew: one that was redirected could not answer a navigation. @param {Response} response @param {string} path @param {string[]} hashes */
async function verified(response, path, hashes) {
  if (!response.ok) throw new Trouble("refused", `${response.status} for ${path}`);
  const sound = await intact(response, path, hashes);
  if (!sound) throw new Trouble("altered", `${path} is not what was published`);
  return sound;
}

/** What a response holds, as a new one; undefined when its hash is another. @param {Response | undefined} response @param {string} path @param {string[]} hashes */
async function intact(response, path, hashes) {
  const bytes = await response?.arrayBuffer();
  if (!response || !bytes) return undefined;
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const hash = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  if (!hashes.includes(hash)) return undefined;
  const headers = new Headers({ "content-length": String(bytes.byteLength) });
  for (const name of SAID.filter((said) => response.headers.has(said))) headers.set(name, response.headers.get(name) ?? "");
  const type = TYPES[path.replace(/.*\./, "")];
  if (type) headers.set("content-type", type);
  return new Response(bytes, { headers });
}

/**
 * A page, or what belongs to it: from the device if it is whole there, else from the network, and whole again on the
 * device afterwards. A site that was published anew has another file in its place: that one is handed on and not kept.
 * @param {string} path @param {Request} request
 */
async function page(path, request) {
  const hashes = PAGES.files[path] ?? [];
  try {
    const cache = await caches.open(PAGES.cache);
    const kept = await intact(await cache.match(address(path)), path, hashes);
    if (kept) return kept;
    const fresh = await checked(path, hashes, "reload", () => {});
    await cache.put(address(path), fresh.clone()).catch(() => {}); // no room: it is shown all the same
    return fresh;
  } catch {
    return request.mode === "navigate" ? unlisted(request) : fetch(request);
  }
}

/**
 * A large file: from the device, else from the network as it arrives, so that its progress can be seen. The loader
 * checks what it gets, and asks past the copy on the device when that was damaged; what is kept here is checked here.
 * @param {string} path @param {FetchEvent} event
 */
async function large(path, event) {
  const { request } = event;
  const cache = await caches.open(RUNTIME.cache);
  // The loader has just fetched a script to check it: what runs is the checked copy, and nothing comes twice.
  if (request.destination === "script") await arriving.get(path);
  const found = request.cache === "reload" ? undefined : await cache.match(address(path));
  const kept = request.destination === "script" ? await intact(found, path, RUNTIME.files[path] ?? []) : found;
  if (kept) return kept;
  const response = await fetch(request);
  // Not kept where it is not what was published; the loader says so.
  event.waitUntil(hold(path, cache, verified(response.clone(), path, RUNTIME.files[path] ?? [])).catch(() => {}));
  return response;
}

/** A page that is not listed, or lost: from the network, and without one the page for lost visitors. @param {Request} request */
async function unlisted(request) {
  try {
    return await fetch(request);
  } catch (error) {
    const lost = await copyFrom([await caches.open(PAGES.cache)], "404.html", PAGES.files["404.html"] ?? []);
    if (!lost) throw error;
    return new Response(lost.body, { status: 503, headers: lost.headers });
  }
}

/** @param {any} error @returns {Reason} */
function reasonOf(error) {
  if (error instanceof Trouble) return error.reason;
  return error instanceof TypeError ? "offline" : error?.name === "QuotaExceededError" ? "full" : "blocked";
}

/** The listed path that an address means, whatever its query. Some hosts leave out index.html, and some .html. @param {URL} url */
function listed({ pathname }) {
  const path = pathname.slice(scope.pathname.length);
  const meant = [path, path === "" || path.endsWith("/") ? `${path}index.html` : `${path}.html`];
  return meant.map(plain).find((name) => Object.hasOwn(PAGES.files, name) || Object.hasOwn(RUNTIME.files, name));
}

/** @param {string} path  as in an address, which may have been written by hand; a hidden slash is none of ours */
function plain(path) {
  try {
    return /%2f|%5c/i.test(path) ? path : decodeURIComponent(path);
  } catch {
    return path;
  }
}

/** @param {string} path */
function address(path) {
  return new URL(path.split("/").map(encodeURIComponent).join("/"), scope).href;
}
