// The server away: the page opens with the last known state and its age, and is live again when it is back.
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import mqtt from "mqtt";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { openBrowser, phone } from "../helpers/browser.ts";
import { spawnServer } from "../helpers/mqtt-server.ts";

let browser: Browser;
let folder: string;
let server: ReturnType<typeof spawnServer>;

beforeAll(async () => {
  browser = await openBrowser();
  folder = mkdtempSync(join(tmpdir(), "brimful-away-"));
  server = spawnServer(folder);
  await server.mqttUrl();
});

afterAll(async () => {
  await browser.close();
  await server.kill("SIGTERM");
  rmSync(folder, { recursive: true });
});

const minuteMs = 60_000;

async function weigh(massKg: number): Promise<void> {
  const board = await mqtt.connectAsync(await server.mqttUrl());
  const startMs = Date.now() - 15 * minuteMs;
  for (let index = 1; index <= 30; index += 1) {
    const pack = [
      {
        bn: "hill/",
        bt: (startMs + (index * minuteMs) / 2) / 1000,
        n: "cell-1/mass",
        u: "kg",
        v: massKg,
      },
    ];
    await board.publishAsync("brimful/1/hill/readings", JSON.stringify(pack), { qos: 1 });
  }
  await board.endAsync();
}

it("opens with the last known state while the server is away, says how old it is, and comes back", async () => {
  const url = server.httpUrl();
  const port = new URL(url).port;
  await weigh(6.1);
  const asJson = { "content-type": "application/json", origin: url };
  const hung = await fetch(`${url}/api/v1/buckets`, {
    method: "POST",
    headers: asJson,
    body: JSON.stringify({ label: "Gate", cell: "hill/cell-1", capacityL: 12, emptyKg: 1.1 }),
  });
  expect(hung.ok).toBe(true);

  const page = await browser.newPage({ viewport: phone });
  const problems: string[] = [];
  page.on("pageerror", (error) => problems.push(String(error)));
  await page.goto(url);
  const litres = page.locator("li.pail .pail-volume");
  await litres.waitFor();
  const live = await litres.textContent();
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);

  await server.kill("SIGTERM");
  await page.locator(".link-bar").waitFor();
  await page.reload();
  await page.locator(".sheet.is-stale li.pail").waitFor();
  expect(await litres.textContent()).toBe(live);
  expect(await page.locator(".link-bar [role=alert]").textContent()).toMatch(
    /server can't be reached.* from today \d+:\d\d/,
  );
  expect(await page.locator(".link-bar").textContent()).toMatch(/just now|\d+ min ago/);
  expect(await page.title()).toMatch(/^No link/);
  // A part that was never opened before is there too, and offers nothing that can't be done now.
  await page.getByRole("button", { name: "More" }).click();
  await page.getByRole("link", { name: "Set-up" }).click();
  await page.getByRole("heading", { name: "On this device" }).waitFor();
  expect(await page.getByText("This browser keeps the page").count()).toBe(1);
  await page.getByRole("link", { name: "Pails" }).click();

  server = spawnServer(folder, { env: { BRIMFUL_HTTP_PORT: port } });
  await server.mqttUrl();
  await page.locator(".sheet:not(.is-stale) li.pail").waitFor({ timeout: 30_000 });
  expect(await page.locator(".link-bar").count()).toBe(0);
  expect(problems).toEqual([]);
  await page.close();
});

/** The built program in a folder of its own, so that its page can become a newer one under it. */
function copyOfBuild(): { program: string; renew(): void; remove(): void } {
  const root = fileURLToPath(new URL("../..", import.meta.url));
  const place = mkdtempSync(join(tmpdir(), "brimful-version-"));
  cpSync(join(root, "dist"), join(place, "dist"), { recursive: true });
  cpSync(join(root, "package.json"), join(place, "package.json"));
  symlinkSync(join(root, "node_modules"), join(place, "node_modules"));
  const web = join(place, "dist/web");
  return {
    program: join(place, "dist/server.mjs"),
    renew() {
      const page = readFileSync(join(web, "index.html"), "utf8");
      const script = /assets\/(index-[\w-]+)\.js/.exec(page)?.[1] ?? "";
      cpSync(join(web, `assets/${script}.js`), join(web, "assets/index-newer.js"));
      writeFileSync(join(web, "index.html"), page.replace(`${script}.js`, "index-newer.js"));
      const worker = readFileSync(join(web, "worker.js"), "utf8");
      const renewed = worker
        .replace(`assets/${script}.js`, "assets/index-newer.js")
        .replace(/\b[0-9a-f]{12}\b/, "newer0000000");
      writeFileSync(join(web, "worker.js"), renewed);
    },
    remove: () => rmSync(place, { recursive: true }),
  };
}

it("tells an open page that a newer version is there, and loads it with one press", async () => {
  const copy = copyOfBuild();
  const data = mkdtempSync(join(tmpdir(), "brimful-newer-"));
  const running = spawnServer(data, { program: copy.program });
  await running.mqttUrl();
  const page = await browser.newPage({ viewport: phone });
  await page.goto(running.httpUrl());
  await page.getByText("No board has been heard yet.").waitFor();
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  expect(await page.getByText("A newer version").count()).toBe(0);

  copy.renew();
  await page.evaluate(async () => (await navigator.serviceWorker.getRegistration())?.update());
  await page.getByRole("button", { name: "Load it" }).click();
  await page.locator('script[src*="index-newer"]').waitFor({ state: "attached" });
  await page.getByText("No board has been heard yet.").waitFor();
  expect(await page.getByText("A newer version").count()).toBe(0);
  const shelves = await page.evaluate(() => caches.keys());
  expect(shelves.at(-1)).toBe("brimful-page-newer0000000");
  await page.close();
  await running.kill("SIGTERM");
  copy.remove();
  rmSync(data, { recursive: true });
});

it("hands out a manifest and icons that a browser can install", async () => {
  const url = server.httpUrl();
  const manifest = (await (await fetch(`${url}/manifest.webmanifest`)).json()) as {
    icons: { src: string; sizes: string; type: string }[];
    start_url: string;
  };
  expect(manifest.start_url).toBe("./");
  for (const { src, type } of manifest.icons) {
    const answer = await fetch(new URL(src, `${url}/`));
    expect([src, answer.status, answer.headers.get("content-type")]).toEqual([src, 200, type]);
  }
  const page = await browser.newPage();
  await page.goto(url);
  const client = await page.context().newCDPSession(page);
  const { installabilityErrors } = (await client.send("Page.getInstallabilityErrors")) as {
    installabilityErrors: { errorId: string }[];
  };
  // Playwright's pages are private windows, which is the one thing that speaks against it.
  const others = installabilityErrors.filter(({ errorId }) => errorId !== "in-incognito");
  expect(others).toEqual([]);
  await page.close();
});
