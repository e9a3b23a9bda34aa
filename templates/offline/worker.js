{% load static i18n %}// Pages come from the network; after three seconds, or without signal, the stored copy with its age. Files that
// pages need come from the store first. Only this person's pages are kept, and none after signing out.
importScripts("{% static 'outbox_store.js' %}");
Outbox.ask = "{% url 'outbox_token' %}";

const FILES = "files {{ version }}";
const PAGES = "pages";
const WHOSE = "/whose-pages";
const WAIT_MS = 3000;
const MOST_PAGES = 60;
// What these take empties the store of pages: nobody's are kept, or all are in the language before.
const EMPTYING = ["{% url 'account_logout' %}", "{% url 'language' %}"];
const NO_SIGNAL = "{% url 'offline' %}?language={{ language }}";
const FIRST = [NO_SIGNAL, {% for address in files %}"{{ address|escapejs }}"{% if not forloop.last %}, {% endif %}{% endfor %}];

self.addEventListener("install", (event) => event.waitUntil((async () => {
  const store = await caches.open(FILES);
  await store.addAll(FIRST.map((address) => new Request(address, { cache: "reload", credentials: "omit" })));
  await self.skipWaiting();
})()));

self.addEventListener("activate", (event) => event.waitUntil((async () => {
  // Pages that were kept may still want the files of the version before this one.
  const stores = (await caches.keys()).filter((name) => name.startsWith("files "));
  await Promise.all(stores.slice(0, -2).map((name) => caches.delete(name)));
  await self.clients.claim();
})()));

const isFile = (url) => url.pathname.startsWith("{{ static_url }}") && !url.pathname.includes("plotly");

const file = async (request) => {
  const kept = await caches.match(request, { ignoreVary: true });
  if (kept) return kept;
  const answer = await fetch(request);
  if (answer.ok) (await caches.open(FILES)).put(request, answer.clone()).catch(() => {});
  return answer;
};

const keepOne = async (address, answer) => {
  const whose = answer.headers.get("Page-Of");
  if (!answer.ok || !whose) return;
  let pages = await caches.open(PAGES);
  if ((await (await pages.match(WHOSE))?.text()) !== whose) {
    await caches.delete(PAGES);
    pages = await caches.open(PAGES);
    await pages.put(WHOSE, new Response(whose));
  }
  if (!answer.headers.get("Page-Kept")) return;
  const headers = new Headers(answer.headers);
  for (const name of ["Content-Encoding", "Content-Length"]) headers.delete(name);
  headers.set("Kept-At", String(Date.now()));
  await pages.delete(address);  // so that the newest stands last
  await pages.put(address, new Response(await answer.blob(), { headers }));
  const kept = (await pages.keys()).filter((request) => new URL(request.url).pathname !== WHOSE);
  await Promise.all(kept.slice(0, -MOST_PAGES).map((request) => pages.delete(request)));
};

// One after the other: a second page must not empty the store that the first has just begun for its person.
const keep = (address, answer) => navigator.locks.request("pages", () => keepOne(address, answer));

const WORDS = {{ words }};
const ago = (minutes) => {
  if (minutes < 1) return WORDS.now;
  const [n, forms] = minutes < 60 ? [minutes, WORDS.minutes] : minutes < 2880 ? [Math.floor(minutes / 60), WORDS.hours] : [Math.floor(minutes / 1440), WORDS.days];
  return forms[n === 1 ? 0 : 1].replace("{n}", n);
};

// The stored page says so itself, before it is first painted.
const aged = async (kept) => {
  const at = Number(kept.headers.get("Kept-At"));
  const clock = new Date(at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
  const words = WORDS.kept.replace("{clock}", clock).replace("{ago}", ago(Math.floor((Date.now() - at) / 60000)));
  const text = (await kept.text())
    .replace("<html ", `<html data-kept-at="${at}" `)
    .replace("data-kept-line hidden>", `data-kept-line>${words}`);
  return new Response(text, { headers: kept.headers });
};

const withoutSignal = async (url) => {
  const pages = await caches.open(PAGES);
  const kept = await pages.match(url.href, { ignoreVary: true }) ?? await pages.match(url.origin + url.pathname, { ignoreVary: true });
  if (kept) return aged(kept);
  const todays = (await pages.keys()).map((request) => request.url).filter((each) => /\/g\/\d+\/$/.test(each));
  if (url.pathname === "/" && todays.length) return Response.redirect(todays.at(-1));
  return (await caches.match(NO_SIGNAL, { ignoreVary: true })) ?? Response.error();
};

const page = async (event) => {
  const url = new URL(event.request.url);
  url.hash = "";
  const asked = fetch(event.request).then((answer) => {
    if ([502, 503, 504].includes(answer.status)) throw new Error("The server is not there");
    return answer;
  });
  event.waitUntil(asked.then((answer) => keep(url.href, answer.clone())).catch(() => {}));
  try {
    const pages = await caches.open(PAGES);
    if (!(await pages.match(url.href, { ignoreVary: true }))) return await asked;
    const tooLong = new Promise((_, failed) => setTimeout(failed, WAIT_MS));
    return await Promise.race([asked, tooLong]);
  } catch {
    return withoutSignal(url);
  }
};

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin) return;
  if (request.method === "POST" && EMPTYING.includes(url.pathname)) event.waitUntil(caches.delete(PAGES));
  if (request.method !== "GET") return;
  if (isFile(url)) event.respondWith(file(request));
  else if (request.mode === "navigate") event.respondWith(page(event));
});

self.addEventListener("message", (event) => event.waitUntil((async () => {
  for (const address of event.data.keep ?? []) {
    const url = new URL(address);
    url.hash = "";
    if (url.origin !== self.location.origin) continue;
    try {
      if (isFile(url)) await file(new Request(url.href));
      else await keep(url.href, await fetch(url.href));
    } catch { /* The next visit keeps it. */ }
  }
})()));

self.addEventListener("sync", (event) => {
  if (event.tag !== "outbox") return;
  event.waitUntil((async () => {
    const told = await Outbox.send();
    for (const client of await self.clients.matchAll()) client.postMessage("outbox");
    if (told.state === "no signal") throw new Error("Still no signal");  // it is asked again
  })());
});
