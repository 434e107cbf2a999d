self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(switchOff()));

async function switchOff() {
  // Only this site's: other sites of the same host name keep theirs in the same place.
  const own = `treadleaf:${new URL(self.registration.scope).pathname}:`;
  for (const name of await caches.keys()) {
    if (name.startsWith(own)) await caches.delete(name);
  }
  await self.registration.unregister();
}
