// Keeps one release of the page whole on the device, and answers from that release alone.
//
// A release is the files listed below, each with the hash of its content; tools/release fills them in.
// It is taken in whole or not at all. Which release the page runs is the person's choice: a newer one
// lies ready beside it, even when this newer worker is already in charge, until it is accepted.
"use strict";

const RELEASE = "";
const FILES = {
};

// Several copies of the page can stand on one origin, each in its folder; each has its own caches.
const SCOPE = self.registration.scope;
const NOTE = `lettertally ${SCOPE}`;
const cacheOf = (release) => `${NOTE} ${release}`;
const ANYHOW = { ignoreSearch: true, ignoreVary: true };
// How long a tab may take to say that it is in the middle of an edit. One that is asleep says nothing.
const PATIENCE = 1000;

// Installing: every file, checked against its hash, before anything is kept.
self.addEventListener("install", (event) => event.waitUntil(install()));

async function install() {
  const files = await Promise.all(Object.entries(FILES).map(checked));
  try {
    const cache = await caches.open(cacheOf(RELEASE));
    await Promise.all(files.map(([name, file]) => cache.put(name, file)));
  } catch (noRoom) {
    await caches.delete(cacheOf(RELEASE));
    throw noRoom;
  }
  for (const tab of await openTabs()) tab.postMessage({ whole: RELEASE });
}

async function checked([name, integrity]) {
  // What the browser holds already will do if it is the same; else the server is asked anew.
  const response = await fetch(name, { integrity, cache: "default" }).catch(() => fetch(name, { integrity, cache: "reload" }));
  if (!response.ok) throw new Error(`${name}: ${response.status}`);
  // A copy, since a response that was redirected is refused where a page is wanted.
  const headers = new Headers(response.headers);
  for (const header of ["vary", "content-encoding", "content-length"]) headers.delete(header);
  return [name, new Response(await response.arrayBuffer(), { headers })];
}

// Activating: on the first visit there is nothing to choose. Other releases than the accepted one
// and this one are of no more use.
self.addEventListener("activate", (event) => event.waitUntil(activate()));

async function activate() {
  const release = await noted();
  if (!release || !(await caches.has(cacheOf(release)))) await accept(RELEASE);
  const kept = [NOTE, cacheOf(RELEASE), cacheOf(await accepted())];
  const ours = (await caches.keys()).filter((name) => name === NOTE || name.startsWith(`${NOTE} `));
  await Promise.all(ours.filter((name) => !kept.includes(name)).map((name) => caches.delete(name)));
  await self.clients.claim();
}

async function noted() {
  const note = await (await caches.open(NOTE)).match(SCOPE);
  return note?.text();
}

async function accepted() {
  return (await noted()) ?? RELEASE;
}

async function accept(release) {
  await (await caches.open(NOTE)).put(SCOPE, new Response(release));
}

// Answering: the page's own address and the files of a release. All else in the folder, and other
// pages beside this one, go to the network as if this worker were not there.
self.addEventListener("fetch", (event) => {
  const { method, mode, url } = event.request;
  const address = url.replace(/[?#].*$/, "");
  if (method !== "GET" || !address.startsWith(SCOPE)) return;
  const name = address.slice(SCOPE.length);
  const isPage = name === "" || name === "index.html";
  if (mode === "navigate" ? isPage : name in FILES || /-[0-9a-f]{16}(_bg)?\.(js|css|wasm|svg)$/.test(name)) {
    event.respondWith(answer(event.request, isPage ? SCOPE : address));
  }
});

async function answer(request, address) {
  const cache = await caches.open(cacheOf(await accepted()));
  // A tab that was still loading when another release was accepted asks for its own files, whose
  // names tell their content.
  return (await cache.match(address, ANYHOW)) ?? (await caches.match(address, ANYHOW)) ?? fetch(request);
}

// The worker in charge knows of a newer one that waits, which a tab does not always: WebKit 2.50
// forgets to tell one that was opened while the newer one was fetched.
const ANSWERS = {
  // of the worker in charge
  which: async () => ({ accepted: await accepted(), newest: await askNewest("release") }),
  "take the newest": () => askNewest("take"),
  // of any
  release: () => RELEASE,
  take,
};

self.addEventListener("message", (event) => event.waitUntil(reply(event.data, event.ports[0])));

async function reply(question, port) {
  port.postMessage(await ANSWERS[question]());
}

function askNewest(question) {
  const { waiting } = self.registration;
  return waiting ? ask(waiting, question) : ANSWERS[question]();
}

// Lets every tab take up this release, in all of them or in none.
async function take() {
  const tabs = await openTabs();
  if (!(await Promise.all(tabs.map(isFree))).every(Boolean)) return false;
  await accept(RELEASE);
  await self.skipWaiting();
  for (const tab of tabs) tab.postMessage({ taken: RELEASE });
  return true;
}

async function openTabs() {
  const all = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  return all.filter((tab) => tab.url.startsWith(SCOPE));
}

function isFree(tab) {
  const silence = new Promise((over) => setTimeout(() => over(true), PATIENCE));
  return Promise.race([ask(tab, "free?"), silence]);
}

function ask(whom, question) {
  return new Promise((answer) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = (event) => answer(event.data);
    whom.postMessage(question, [port2]);
  });
}
