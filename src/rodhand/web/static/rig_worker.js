"use strict";
/* Keeps the rig's pages on this device. With the book in reach a page comes from the book and its
   copy is renewed; without, the copy is shown and says of when it is. Forms and presses pass by,
   but for the switch of language, which works on the copies too. */
const { version, files, shell } = self.kept;
const FILES = `rodhand-files-${version}`;
const PAGES = "rodhand-pages";
const STATE = "/rig-state/";
const PATIENCE = 4000; // ms until a page is shown from its copy
const FILE_PATIENCE = 1500;
const RENEW = 5 * 60 * 1000; // ms between two rounds over all pages of a rig
const RIG = /^\/rig-(day|on|rod|events|makeup|checks|pullback|strike|outbox)(\/|$)/;

self.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(FILES)
      .then((cache) => cache.addAll(files.map((file) => new Request(file, { cache: "reload" }))))
      .then(() => self.skipWaiting()),
  );
});

self.addEventListener("activate", (event) => {
  const old = async () => {
    const names = await caches.keys();
    await Promise.all(names.filter((name) => name.startsWith("rodhand-files-") && name !== FILES).map((name) => caches.delete(name)));
    await self.clients.claim();
  };
  event.waitUntil(old());
});

const within = (promise, time) =>
  new Promise((done, failed) => {
    const timer = setTimeout(() => failed(new Error("late")), time);
    promise.then(done, failed).finally(() => clearTimeout(timer));
  });

const remembered = async (name) => (await (await caches.open(PAGES)).match(STATE + name))?.text();
const remember = async (name, text) => (await caches.open(PAGES)).put(STATE + name, new Response(text));

/** Where a page's copy lies: its path, its bore and its language; the rest only leads back to it. */
const placeOf = (address, language) => {
  const url = new URL(address, self.location.origin);
  const bore = url.searchParams.get("bore");
  return `${url.pathname}?in=${language}${bore ? `&bore=${encodeURIComponent(bore)}` : ""}`;
};

const two = (number) => String(number).padStart(2, "0");

const lies = new Map(); // place -> when the copy that lies there was asked for

/** Keep a page's copy; one that was asked for before the copy that lies there comes too late. */
const keepPage = async (address, answer, asked) => {
  if (!answer.ok || answer.redirected || !answer.headers.get("Content-Type")?.startsWith("text/html")) return null;
  const language = answer.headers.get("Content-Language") ?? "en";
  const now = new Date();
  const when = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())} ${two(now.getHours())}:${two(now.getMinutes())}`;
  const text = (await answer.text()).replace("<html ", `<html data-kept="${when}" `);
  const headers = { "Content-Type": "text/html; charset=utf-8" };
  for (const name of ["Content-Language", "Content-Security-Policy", "X-Content-Type-Options", "Referrer-Policy"]) {
    const value = answer.headers.get(name);
    if (value) headers[name] = value;
  }
  const place = placeOf(address, language);
  const cache = await caches.open(PAGES);
  if (asked < (lies.get(place) ?? 0)) return language;
  lies.set(place, asked);
  await cache.put(place, new Response(text, { headers }));
  return language;
};

const copyOf = async (address) => {
  const cache = await caches.open(PAGES);
  const language = (await remembered("chosen")) || (await remembered("language")) || "en";
  const bare = new URL(address).pathname;
  const places = [placeOf(address, language), placeOf(bare, language), placeOf(address, "en"), placeOf(bare, "en")];
  for (const place of [...places, placeOf("/rig-outbox", language), placeOf("/rig-outbox", "en")]) {
    const found = await cache.match(place);
    if (found) return found;
  }
  return null;
};

/** A language chosen without a signal is told to the book once it answers. */
const chosenTold = async () => {
  const chosen = await remembered("chosen");
  if (!chosen) return;
  await fetch("/language", { method: "POST", body: new URLSearchParams({ language: chosen, back: "/rig-day" }), redirect: "manual" });
  await remember("language", chosen); // copies stay in it, also where the page itself then comes late
  await remember("chosen", "");
};

const fresh = async (request) => {
  await chosenTold();
  const asked = Date.now();
  const answer = await fetch(request);
  if (RIG.test(new URL(request.url).pathname) && request.method === "GET") {
    const copy = answer.clone();
    keepPage(request.url, copy, asked).then((language) => language && remember("language", language), () => {});
  }
  return answer;
};

const page = async (event) => {
  const from = fresh(event.request);
  event.waitUntil(from.catch(() => {}));
  const isRig = RIG.test(new URL(event.request.url).pathname);
  try {
    return await (isRig ? within(from, PATIENCE) : from);
  } catch {
    return (await copyOf(event.request.url)) ?? from;
  }
};

const file = async (event) => {
  const from = fetch(event.request);
  const cache = await caches.open(FILES);
  try {
    const answer = await within(from, FILE_PATIENCE);
    if (answer.ok) event.waitUntil(cache.put(event.request, answer.clone()));
    return answer;
  } catch {
    return (await cache.match(event.request, { ignoreSearch: true })) ?? from;
  }
};

const language = async (event) => {
  const typed = new URLSearchParams(await event.request.clone().text());
  try {
    return await fetch(event.request);
  } catch {
    await remember("chosen", typed.get("language") ?? "");
    return Response.redirect(typed.get("back") ?? "/rig-day", 303);
  }
};

/** A form that kept nothing comes back to its page, which says so. */
const form = async (event) => {
  const { referrer } = event.request;
  try {
    return await fetch(event.request);
  } catch {
    return Response.redirect(`${(referrer || "/rig-outbox").split("#")[0]}#not-kept`, 303);
  }
};

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== self.location.origin) return;
  if (request.mode === "navigate" && request.method === "POST" && url.pathname === "/language") event.respondWith(language(event));
  else if (request.mode === "navigate" && request.method === "POST") event.respondWith(form(event));
  else if (request.method !== "GET") return;
  else if (request.mode === "navigate") event.respondWith(page(event));
  else if (url.pathname.startsWith("/static/")) event.respondWith(file(event));
});

/** Keep every page of a rig in every language; not again within a few minutes. */
const keepRig = async (rig, anew) => {
  const name = `rig-${rig}`;
  if (!anew && Date.now() - Number((await remembered(name)) ?? 0) < RENEW) return;
  const list = rig ? await (await fetch(`/rig-kept/${encodeURIComponent(rig)}`, { headers: { Accept: "application/json" } })).json() : { pages: shell, languages: ["en", "es"] };
  for (const address of list.pages) {
    for (const each of list.languages) {
      const asked = Date.now();
      const answer = await fetch(address, { headers: { Accept: "text/html", "X-Language": each } });
      if ((await keepPage(address, answer, asked)) === null) throw new Error(address);
    }
  }
  await remember(name, String(Date.now()));
};

let keeping = Promise.resolve();
self.addEventListener("message", (event) => {
  const rig = event.data?.keep;
  if (rig === undefined) return;
  keeping = keeping.then(() => keepRig(rig, event.data.anew)).then(
    () => event.source.postMessage({ kept: rig }),
    () => event.source.postMessage({ failed: rig }),
  );
  event.waitUntil(keeping);
});
