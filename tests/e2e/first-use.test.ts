// An empty yard: from "no board heard yet" to the first weighed bucket, with a real server and real boards.
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import mqtt from "mqtt";
import type { Browser, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, expect, it } from "vitest";
import { openBrowser, openPage, phone } from "../helpers/browser.ts";
import { spawnServer } from "../helpers/mqtt-server.ts";

const minuteMs = 60_000;
let browser: Browser;
let folder: string;
let server: ReturnType<typeof spawnServer>;
let mqttUrl: string;

beforeAll(async () => {
  browser = await openBrowser();
});
afterAll(() => browser.close());

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), "brimful-first-"));
  server = spawnServer(folder);
  mqttUrl = await server.mqttUrl();
});
afterEach(async () => {
  await server.kill("SIGTERM");
  rmSync(folder, { recursive: true });
});

const doneSteps = (page: Page) => page.locator(".steps > li.is-done").count();

/** As the browser's own clock would have it typed. */
function localMinute(page: Page, atMs: number): Promise<string> {
  return page.evaluate((ms) => {
    const at = new Date(ms);
    return new Date(ms - at.getTimezoneOffset() * 60_000).toISOString().slice(0, 16);
  }, atMs);
}

it("sets its marks by itself as a board joins, is loaded, hung and weighed", async () => {
  const { page, errors } = await openPage(browser, phone);
  await page.goto(server.httpUrl());
  await page.getByText("No board has been heard yet.").waitFor();
  expect(await doneSteps(page)).toBe(0);

  const startMs = Date.now() - 15 * minuteMs;
  const board = await mqtt.connectAsync(mqttUrl);
  const weigh = (massKg: number, atMs = Date.now()) => {
    const pack = [
      { bn: "hill/", bt: atMs / 1000, n: "cell-1/mass", u: "kg", v: massKg },
      { n: "probe/air", u: "Cel", v: 2.5 },
    ];
    return board.publishAsync("brimful/1/hill/readings", JSON.stringify(pack), { qos: 1 });
  };
  await weigh(0.01);
  await page.getByText("Board hill is heard").waitFor();
  expect(await doneSteps(page)).toBe(1);

  await weigh(1.1);
  await page.getByText("hill/cell-1 carries something").waitFor();
  expect(await doneSteps(page)).toBe(2);

  await page.getByLabel("Name").fill("Gate");
  await page.getByRole("button", { name: /It hangs empty now/ }).click();
  await page.getByLabel(/^Hung since/).fill(await localMinute(page, startMs));
  await page.getByRole("button", { name: "Hang it" }).click();
  await page.getByText("Gate hangs").waitFor();
  expect(await doneSteps(page)).toBe(3);

  // A quarter of an hour of readings, sent at once as a board does after a cut.
  for (let index = 0; index < 30; index += 1) {
    await weigh(2 + index * 0.01, startMs + ((index + 1) * minuteMs) / 2);
  }
  const pail = page.locator("li.pail", { hasText: "Gate" });
  await pail.waitFor();
  await expect.poll(() => pail.locator(".pail-volume").textContent()).toMatch(/^\d\.\d L$/);
  await board.endAsync();
  expect(errors).toEqual([]);
  await page.close();
});

/** Starts the board with the very command that the page shows. */
function startAsShown(command: string): ChildProcess {
  const [, settings = "", options = ""] = /^(.*?)npm run board -- (.*)$/.exec(command) ?? [];
  const env = Object.fromEntries(
    settings
      .trim()
      .split(" ")
      .map((setting) => setting.split("=") as [string, string]),
  );
  return spawn(process.execPath, ["--import", "tsx", "device/main.ts", ...options.split(" ")], {
    env: { PATH: process.env["PATH"], BRIMFUL_BOARD_DATA: join(folder, "board"), ...env },
    stdio: "ignore",
  });
}

it("the command it shows starts a board that it then hears, with all its cells", async () => {
  const { page, errors } = await openPage(browser, phone);
  await page.goto(server.httpUrl());
  const shown = page.locator("code", { hasText: "--simulated" });
  await shown.waitFor();
  const board = startAsShown((await shown.textContent()) ?? "");
  const ended = once(board, "exit");
  await page.getByText(/^Board .*hill.* is heard/).waitFor({ timeout: 60_000 });
  await expect.poll(() => doneSteps(page), { timeout: 30_000 }).toBe(2);
  await page.getByRole("link", { name: /All \d+ cells/ }).waitFor();
  board.kill("SIGTERM");
  await ended;
  expect(errors).toEqual([]);
  await page.close();
});
