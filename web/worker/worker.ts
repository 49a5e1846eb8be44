// The page's service worker: keeps the page itself, so that it opens while the server is away, and shows what is pushed. It keeps no figures.
import { openPage, showPushed } from "./pushed.ts";
import { answerPage, answerShelved, fillShelf, isShelved, tidyShelves } from "./shelf.ts";
import type { AskEvent, WorkerScope } from "./worker-scope.ts";

const scope = globalThis as unknown as WorkerScope;

scope.addEventListener("install", (event) => {
  event.waitUntil(fillShelf().then(() => scope.skipWaiting()));
});

scope.addEventListener("activate", (event) => {
  event.waitUntil(tidyShelves().then(() => scope.clients.claim()));
});

scope.addEventListener("fetch", (event: AskEvent) => {
  const { request } = event;
  if (request.method !== "GET") return;
  const home = new URL(scope.registration.scope);
  const url = new URL(request.url);
  if (url.origin !== home.origin) return;
  if (request.mode === "navigate" && url.pathname === home.pathname) {
    event.respondWith(answerPage(request));
  } else if (isShelved(url, home)) {
    event.respondWith(answerShelved(request));
  }
});

scope.addEventListener("push", (event) => {
  event.waitUntil(showPushed(scope, event.data?.text() ?? ""));
});

scope.addEventListener("notificationclick", (event) => {
  event.waitUntil(openPage(scope, event.notification));
});
