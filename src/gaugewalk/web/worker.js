// The service worker: keeps the app's own files and the pages that were taken along, so that a round
// goes on without a network. It sends nothing; what was written waits in the page's own store.
// The line above this one, put there by the server, says which version it is and what belongs to it.

const SHELL = `gaugewalk-shell-${OWN.version}`;
const PAGES = `gaugewalk-pages-${OWN.version}`;
const PATIENCE = 5000; // ms to wait for the network before a kept page is shown
const ROUNDS_KEPT = 4;
const ANY_TAG = "__TAG__";
const SIGNS = /^\/pump\/([^/]+)\/signs$/;
const KEPT_WHEN_SEEN = /^\/(|pumps|handover|more|pump\/[^/]+|round\/[^/]+\/[^/]+|trouble\/[^/]+|causes\/[^/]+|due|(pump\/[^/]+\/)?check-lists(\/[^/]+)?)$/;

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== location.origin) return;
  if (request.mode === "navigate") event.respondWith(request.method === "GET" ? visit(request, url) : post(request));
  else if (request.method === "GET" && (url.pathname.startsWith("/static/") || url.pathname === "/api/v1/units")) event.respondWith(own(request));
});
self.addEventListener("message", (event) => {
  const { take, drop } = event.data ?? {};
  if (take) event.waitUntil(takeAlong(take).then((made) => event.ports[0]?.postMessage(made)));
  if (drop) event.waitUntil(caches.delete(PAGES));
});
self.addEventListener("sync", (event) => event.waitUntil(tellPages("send")));

// A new version takes over only when all its files and every round that is being walked are here.
async function install() {
  const shell = await caches.open(SHELL);
  await shell.addAll(OWN.shell.map((path) => new Request(path, { cache: "reload" })));
  for (const id of await takenBefore()) {
    const made = await takeAlong(id);
    if (!made.ok && !made.gone) throw new Error(`round ${id} could not be taken along`);
  }
  await self.skipWaiting();
}

async function activate() {
  for (const name of await caches.keys()) {
    if (name.startsWith("gaugewalk-") && name !== SHELL && name !== PAGES) await caches.delete(name);
  }
  await self.clients.claim();
}

async function takenBefore() {
  const ids = new Set();
  for (const name of await caches.keys()) {
    if (!name.startsWith("gaugewalk-pages-") || name === PAGES) continue;
    for (const key of await (await caches.open(name)).keys()) {
      const [, place, id] = new URL(key.url).pathname.split("/");
      if (place === "take-along") ids.add(id);
    }
  }
  return ids;
}

async function tellPages(what) {
  for (const page of await self.clients.matchAll()) page.postMessage(what);
}

// ------------------------------------------------------------------ taking along

async function takeAlong(id) {
  let along;
  try {
    const answer = await fetch(`/take-along/${id}`);
    if (!answer.ok) return { ok: false, gone: answer.status === 404 };
    along = await answer.json();
  } catch {
    return { ok: false, gone: false };
  }
  const pages = await caches.open(PAGES);
  for (const [path, parts] of Object.entries(along.pages)) {
    await pages.put(path, htmlOf(parts.map((part) => along.parts[part]).join("")));
  }
  for (const [path, to] of Object.entries(along.leads)) await pages.put(path, jsonOf({ lead: to }, "application/lead"));
  const about = { id, made: along.made, pages: [...Object.keys(along.pages), ...Object.keys(along.leads)] };
  await pages.put(`/take-along/${id}`, jsonOf(about, "application/json"));
  await dropOld(pages);
  return { ok: true, count: about.pages.length };
}

async function dropOld(pages) {
  const taken = [];
  for (const key of await pages.keys()) {
    if (new URL(key.url).pathname.startsWith("/take-along/")) taken.push(await (await pages.match(key)).json());
  }
  const rounds = taken.filter((one) => one.id !== "book").sort((a, b) => (a.made < b.made ? 1 : -1));
  const wanted = new Set([...rounds.slice(0, ROUNDS_KEPT), ...taken.filter((one) => one.id === "book")].flatMap((one) => one.pages));
  for (const old of rounds.slice(ROUNDS_KEPT)) {
    for (const path of old.pages) if (!wanted.has(path)) await pages.delete(path);
    await pages.delete(`/take-along/${old.id}`);
  }
}

function htmlOf(text) {
  return new Response(text, { headers: { "content-type": "text/html; charset=utf-8", ...GUARD } });
}

function jsonOf(value, type) {
  return new Response(JSON.stringify(value), { headers: { "content-type": type } });
}

const GUARD = { "content-security-policy": OWN.policy, "x-content-type-options": "nosniff" };

// ------------------------------------------------------------------ answering

async function own(request) {
  return (await caches.match(request)) ?? fetch(request);
}

async function visit(request, url) {
  const path = url.pathname;
  const kept = await keptPage(path);
  try {
    const answer = await (kept ? within(fetch(request), PATIENCE) : fetch(request));
    if (answer.status > 500 && kept) return asKept(kept); // something on the way does not reach it
    if (answer.ok && answer.type === "basic" && !answer.redirected && KEPT_WHEN_SEEN.test(path)) {
      await (await caches.open(PAGES)).put(path, answer.clone());
    }
    return answer;
  } catch {
    if (kept) return asKept(kept);
    return (await caches.match("/no-network")) ?? Response.error();
  }
}

function within(promise, time) {
  return Promise.race([promise, new Promise((_, reject) => setTimeout(() => reject(new Error("slow")), time))]);
}

async function keptPage(path) {
  const pages = await caches.open(PAGES);
  const found = (await pages.match(path)) ?? (await caches.match(path));
  const signs = SIGNS.exec(path);
  if (found || !signs) return found;
  const any = await pages.match(`/pump/${ANY_TAG}/signs`);
  return any ? htmlOf((await any.text()).replaceAll(ANY_TAG, signs[1].replace(/[<>&"']/g, ""))) : undefined;
}

// Says in the page itself that it is a kept one, so that it can tell the reader.
async function asKept(kept) {
  if (kept.headers.get("content-type") === "application/lead") {
    return Response.redirect((await kept.json()).lead, 303);
  }
  const text = (await kept.text()).replace("<html ", '<html data-kept="yes" ');
  return htmlOf(text);
}

// A form that was sent as such, without its script: nothing of it may seem to be taken.
async function post(request) {
  try {
    return await fetch(request);
  } catch {
    return (await caches.match("/no-network")) ?? Response.error();
  }
}
