// What the worker uses of a service worker's own world; the page's types know nothing of it.

type WaitingEvent = Event & { waitUntil(work: Promise<unknown>): void };
export type AskEvent = WaitingEvent & {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
};

export type PushedEvent = WaitingEvent & { readonly data: { text(): string } | null };
export type ClickEvent = WaitingEvent & { readonly notification: Notification };

type PageClient = {
  readonly url: string;
  focus(): Promise<unknown>;
  navigate(url: string): Promise<unknown>;
};

export type WorkerScope = {
  readonly location: Location;
  readonly registration: ServiceWorkerRegistration;
  readonly clients: {
    claim(): Promise<void>;
    matchAll(of: { type: "window" }): Promise<PageClient[]>;
    openWindow(url: string): Promise<unknown>;
  };
  skipWaiting(): Promise<void>;
  addEventListener(name: "install" | "activate", seen: (event: WaitingEvent) => void): void;
  addEventListener(name: "fetch", seen: (event: AskEvent) => void): void;
  addEventListener(name: "push", seen: (event: PushedEvent) => void): void;
  addEventListener(name: "notificationclick", seen: (event: ClickEvent) => void): void;
};
