// Push with the page closed: a browser is told to listen, the system shows what is pushed, and a browser that is gone is shown.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { openBrowser, phone } from "../helpers/browser.ts";
import { makeCertificate } from "../helpers/certificates.ts";
import { createAsking } from "../helpers/http-asking.ts";
import { spawnServer } from "../helpers/mqtt-server.ts";
import { closeAll, openReceiver } from "../helpers/notice-rig.ts";
import { readPush, subscribedBrowser } from "../helpers/push-browser.ts";

let folder: string;
let certificate: Awaited<ReturnType<typeof makeCertificate>>;
let server: ReturnType<typeof spawnServer>;
let browser: Browser;
let context: BrowserContext;
let service: Awaited<ReturnType<typeof openReceiver>>;
let answer = 201;

beforeAll(async () => {
  certificate = await makeCertificate();
  folder = mkdtempSync(join(tmpdir(), "brimful-push-"));
  server = spawnServer(folder, { env: { NODE_EXTRA_CA_CERTS: certificate.authorityFile } });
  await server.mqttUrl();
  service = await openReceiver({ tls: certificate }, (response) =>
    response.writeHead(answer).end(),
  );
  browser = await openBrowser();
  context = await browser.newContext({ viewport: phone });
  await context.grantPermissions(["notifications"], { origin: server.httpUrl() });
}, 60_000);

afterAll(async () => {
  await browser?.close();
  await server?.kill("SIGTERM");
  await closeAll();
  certificate?.remove();
  rmSync(folder, { recursive: true });
});

/** This Chromium has no push service to subscribe at: it gets the test's own, with keys of a browser. */
async function giveService(page: Page, { subscription }: ReturnType<typeof subscribedBrowser>) {
  await page.addInitScript((kept) => {
    const made = { ...kept, toJSON: () => kept, unsubscribe: () => Promise.resolve(true) };
    let current: typeof made | null = null;
    Object.assign(PushManager.prototype, {
      getSubscription: () => Promise.resolve(current),
      subscribe({ applicationServerKey }: { applicationServerKey: string }) {
        Object.assign(globalThis, { keyAsked: applicationServerKey });
        current = made;
        return Promise.resolve(made);
      },
    });
  }, subscription);
}

/** Hands a text to the page's worker as a push service would by way of the browser. */
async function deliver(page: Page, data: string): Promise<void> {
  const tools = await context.newCDPSession(page);
  await tools.send("ServiceWorker.enable");
  const scope = `${server.httpUrl()}/`;
  const registrationId = await new Promise<string>((resolve) => {
    tools.on("ServiceWorker.workerRegistrationUpdated", ({ registrations }) => {
      const own = registrations.find(({ scopeURL }) => scopeURL === scope);
      if (own !== undefined) resolve(own.registrationId);
    });
  });
  const origin = server.httpUrl();
  await tools.send("ServiceWorker.deliverPushMessage", { origin, registrationId, data });
}

const shownBySystem = (page: Page) =>
  page.evaluate(async () => {
    const { ready } = navigator.serviceWorker;
    const shown = await (await ready).getNotifications();
    return shown.map(({ title, body, data }) => ({ title, body, data: data as unknown }));
  });

it("a person's browser listens, gets what the yard encrypts for it, and is shown once it is gone", async () => {
  const keys = subscribedBrowser(service.url);
  const page = await context.newPage();
  const errors: string[] = [];
  page.on("pageerror", (error) => errors.push(String(error)));
  await giveService(page, keys);
  const wishes = { kinds: [], fromSeverity: "soon", quiet: null, wake: false, digest: null };
  const api = createAsking(server.httpUrl());
  const ann = { name: "Ann", mailTo: null, webhook: null, ...wishes };
  expect((await api.post("/notice-people", ann)).status).toBe(201);

  await page.goto(`${server.httpUrl()}/#/setup`);
  await page.getByRole("button", { name: "Push to this browser for Ann" }).click();
  await page.getByText("push to Chrome on Linux, this browser").first().waitFor();
  expect(await page.getByRole("button", { name: "Push to this browser" }).count()).toBe(0);
  const { publicKey } = (await api.get("/push-key")).body;
  expect(await page.evaluate(() => (globalThis as { keyAsked?: string }).keyAsked)).toBe(publicKey);

  await page.getByRole("button", { name: "Send a test to Ann" }).click();
  await page.getByText("Went out: HTTP 201").waitFor();
  const text = readPush(service.heard[0]!.bytes, keys.keys);
  await deliver(page, text);
  await expect
    .poll(() => shownBySystem(page), { timeout: 20_000 })
    .toEqual([
      {
        title: "Brimful: a test",
        body: "This is a test. Notices from the yard will come this way.",
        data: { hash: "#/" },
      },
    ]);

  answer = 410;
  await page.getByRole("button", { name: "Send a test to Ann" }).click();
  await page.getByText("HTTP 410, this browser no longer listens").waitFor();
  expect(await page.getByRole("button", { name: "Send a test to Ann" }).count()).toBe(0);
  await page.getByRole("button", { name: "Push to this browser for Ann" }).waitFor();
  await page.goto(`${server.httpUrl()}/#/alarms`);
  await page.getByText("Notices do not reach Ann by push to a browser").first().waitFor();

  answer = 201;
  await page.goto(`${server.httpUrl()}/#/setup`);
  await page.getByRole("button", { name: "Push to this browser for Ann" }).click();
  await page.getByText("not tried yet").waitFor();
  await page.getByRole("button", { name: "Stop push to Chrome on Linux" }).click();
  await page.getByText("No way to reach them yet").waitFor();
  expect(errors).toEqual([]);
});

it("with its page open but not looked at, the browser shows what rises, once the person switched that on", async () => {
  const page = await context.newPage();
  await page.addInitScript(() => {
    Object.defineProperty(document, "visibilityState", { get: () => "hidden" });
  });
  await page.goto(`${server.httpUrl()}/#/alarms`);
  // What was told of Ann is over, or Bob's would be the same alarm going on.
  await page.getByText("All is quiet.").waitFor();
  await page.getByLabel("While this page is open").check();
  await page.evaluate(async () => {
    const { ready } = navigator.serviceWorker;
    for (const shown of await (await ready).getNotifications()) shown.close();
  });
  const api = createAsking(server.httpUrl());
  const webhook = { url: `${service.url}/none`, form: "json", template: "", authorization: "" };
  const bob = { name: "Bob", mailTo: null, webhook, kinds: null, fromSeverity: "soon" };
  const { body } = await api.post("/notice-people", {
    ...bob,
    quiet: null,
    wake: false,
    digest: null,
  });
  answer = 403;
  await api.post(`/notice-people/${body.id}/test`, { channel: "webhook" });
  const words = "Notices do not reach Bob by web address: see the set-up page";
  await expect
    .poll(() => shownBySystem(page), { timeout: 20_000 })
    .toEqual([{ title: words, body: "", data: { hash: "#/alarms" } }]);
});
