// Keeps the installed page for use without a network, and takes what another app shares to it.
const NAME = "page-4017b37413da513c";
const OWN = ["./", "manifest.webmanifest", "icon.svg"];

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(NAME).then((cache) => cache.addAll(OWN)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(names.filter((n) => n.startsWith("page-") && n !== NAME).map((n) => caches.delete(n))))
      .then(() => self.clients.claim()),
  );
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== location.origin) return;
  if (request.method === "POST" && url.pathname.endsWith("/share")) {
    event.respondWith(shared(request));
  } else if (request.method === "GET") {
    const asked = request.mode === "navigate" ? "./" : request;
    event.respondWith(caches.open(NAME).then((cache) => cache.match(asked)).then((answer) => answer ?? fetch(request)));
  }
});

async function shared(request) {
  const form = await request.formData();
  const cache = await caches.open("shared");
  for (const file of form.getAll("survey")) {
    if (file instanceof File) await cache.put("./shared/" + encodeURIComponent(file.name), new Response(file));
  }
  return Response.redirect("./#survey", 303);
}
