// A year on a year: a bucket's flow with the year before beneath it, and a season's report against the last one.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { msPerDay, msPerHour, msPerMinute } from "../../shared/units.ts";
import { desktop, openBrowser, openPage } from "../helpers/browser.ts";
import { createAsking } from "../helpers/http-asking.ts";
import { spawnServer } from "../helpers/mqtt-server.ts";

const timeZone = "UTC";
const runKgPerH = { now: 0.4, before: 0.2 };

let browser: Browser;
let folder: string;
let server: ReturnType<typeof spawnServer>;

beforeAll(async () => {
  browser = await openBrowser();
  folder = mkdtempSync(join(tmpdir(), "brimful-year-"));
  server = spawnServer(folder, { env: { BRIMFUL_TZ: timeZone } });
  await server.mqttUrl();
}, 60_000);
afterAll(async () => {
  await browser?.close();
  await server?.kill("SIGTERM");
  rmSync(folder, { recursive: true });
});

/** Twelve hours of sap running evenly, a reading a minute. */
function runUntil(endMs: number, kgPerH: number) {
  const startMs = endMs - 12 * msPerHour;
  return Array.from({ length: 12 * 60 }, (_, minute) => {
    const atMs = startMs + minute * msPerMinute;
    return { n: "cell-1/mass", u: "kg", t: atMs / 1000, v: 1 + (kgPerH * minute) / 60 };
  });
}

it("shows the flow of the same hours a year before, dashed, and says both under the finger", async () => {
  const nowMs = Math.floor(Date.now() / 1000) * 1000;
  const at = new Date(nowMs);
  const beforeMs = new Date(nowMs).setUTCFullYear(at.getUTCFullYear() - 1);
  const api = createAsking(server.httpUrl());
  for (const run of [
    runUntil(beforeMs + 3 * msPerHour, runKgPerH.before),
    runUntil(nowMs, runKgPerH.now),
  ]) {
    const [first, ...rest] = run;
    expect((await api.post("/readings", [{ bn: "hill/", ...first }, ...rest])).status).toBeLessThan(
      300,
    );
  }
  const hung = { label: "Gate", cell: "hill/cell-1", capacityL: 12, emptyKg: 0.8 };
  await api.post("/buckets", { ...hung, fromMs: beforeMs - 2 * msPerDay });

  const { page, errors } = await openPage(browser, desktop);
  await page.goto(`${server.httpUrl()}/#/bucket/gate`);
  await page.getByLabel("With the flow of the year before, dashed").check();
  await page.getByLabel("Read along the curves").focus();
  for (let step = 0; step < 3; step += 1) await page.keyboard.press("ArrowLeft");
  // 0.4 and 0.2 kg an hour are as many litres within 1 %.
  const readout = page.locator(".readout");
  await expect.poll(() => readout.textContent()).toMatch(/0\.(39|40|41) L\/h/);
  await expect.poll(() => readout.textContent()).toMatch(/the year before 0\.(19|20|21) L\/h/);

  await page.goto(`${server.httpUrl()}/#/season`);
  await page.getByText("Strokes: the same days a year before.").waitFor();
  const columns = await page.locator("table").first().locator("thead th").allTextContents();
  expect(columns.slice(1)).toEqual([String(at.getUTCFullYear()), String(at.getUTCFullYear() - 1)]);
  expect(errors).toEqual([]);
});
