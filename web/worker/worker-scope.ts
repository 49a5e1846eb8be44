// What the worker uses of a service worker's own world; the page's types know nothing of it.

type WaitingEvent = Event & { waitUntil(work: Promise<unknown>): void };
export type AskEvent = WaitingEvent & {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
};

export type WorkerScope = {
  readonly location: Location;
  readonly registration: ServiceWorkerRegistration;
  readonly clients: { claim(): Promise<void> };
  skipWaiting(): Promise<void>;
  addEventListener(name: "install" | "activate", seen: (event: WaitingEvent) => void): void;
  addEventListener(name: "fetch", seen: (event: AskEvent) => void): void;
};
