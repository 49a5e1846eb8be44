// A round in the demo: set out, ticked off by what the cells see while the yard's people empty the buckets, and in the barrel.
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { touchesOfDay } from "../../device/yard/handling.ts";
import type { YardView } from "../../shared/wire/api.ts";
import type { Gathering } from "../../shared/wire/records.ts";
import type { Sketch } from "../../shared/wire/rounds.ts";
import type { VesselLine } from "../../shared/wire/vessels.ts";
import { desktop, openBrowser, openPage, phone } from "../helpers/browser.ts";
import { type Demo, startDemo, zoneWhereHourIs } from "../helpers/demo-process.ts";

const dayMs = 86_400_000;
const hourMs = 3_600_000;
let demo: Demo;
let browser: Browser;

/** A yard whose people walk this evening and did not yesterday: the buckets have something in them. */
function seedWithRoundToday(wallDay: number): number {
  const isRound = (seed: number, day: number) =>
    touchesOfDay({ seed, day, place: 0 }).some(({ kind }) => kind === "gather");
  for (let seed = 1; ; seed += 1) {
    if (isRound(seed, wallDay) && !isRound(seed, wallDay - 1)) return seed;
  }
}

beforeAll(async () => {
  const nowMs = Date.now();
  const TZ = zoneWhereHourIs(16, nowMs);
  const utcHour = new Date(nowMs).getUTCHours();
  const aheadH = ((16 - utcHour + 36) % 24) - 12;
  const seed = seedWithRoundToday(Math.floor((nowMs + aheadH * hourMs) / dayMs));
  demo = await startDemo(["--seed", String(seed), "--speed", "300"], { TZ });
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await demo?.stop();
});

async function ask<T>(page: Page, path: string): Promise<T> {
  return (await page.request.get(`${demo.url}/api/v1${path}`)).json() as Promise<T>;
}

async function barrelL(page: Page): Promise<number> {
  const { vessels } = await ask<YardView>(page, "/yard");
  return vessels.find(({ id }) => id === "barrel")?.volumeL ?? -1;
}

it("is set out on, ticked off by the cells, and is in the barrel with nobody typing anything", async () => {
  const { page, errors } = await openPage(browser, phone);
  await page.goto(`${demo.url}/#/round`);
  await page.getByText(/^Gather \d+ buckets? on/).waitFor();
  const beforeL = await barrelL(page);
  await page.getByRole("button", { name: "Set out" }).click();
  await page.getByText(/\d+ of \d+ gathered/).waitFor();
  const set = await ask<YardView>(page, "/yard");
  expect(set.yard.pausedUntilMs).toBeGreaterThan(set.nowMs);

  const ticked = page.locator(".stop.is-done", { hasText: "noticed by the cell" });
  await expect
    .poll(() => ticked.count(), { timeout: 90_000, interval: 250 })
    .toBeGreaterThanOrEqual(2);
  expect(await barrelL(page)).toBeGreaterThan(beforeL + 1);
  const lines = await ask<VesselLine[]>(page, "/vessels/barrel/pours");
  const boiledMs = lines.find(({ kind }) => kind === "boil")?.atMs ?? 0;
  const sinceBoil = `/gatherings?fromMs=${boiledMs}&toMs=${set.nowMs + 10 * hourMs}`;
  await expect
    .poll(
      async () => {
        const gatherings = await ask<Gathering[]>(page, sinceBoil);
        const sumL = gatherings.reduce((sum, { volumeL }) => sum + volumeL, 0);
        return Math.abs((await barrelL(page)) - sumL);
      },
      { timeout: 30_000 },
    )
    .toBeLessThan(0.02);

  await page.getByRole("button", { name: "I'm back" }).click();
  await page
    .getByRole("button", { name: "Set out" })
    .or(page.getByText(/worth the walk/))
    .first()
    .waitFor();
  expect((await ask<YardView>(page, "/yard")).yard.pausedUntilMs).toBeNull();

  await page.goto(`${demo.url}/#/vessels`);
  const barrel = page.getByRole("article", { name: "Barrel" });
  await barrel.getByText("What went in and out").click();
  await barrel
    .getByText(/L from /)
    .first()
    .waitFor();
  expect(errors).toEqual([]);
  await page.close();
});

it("a tree is moved on the sketch by keys and by dragging, and the sketch is drawn to scale", async () => {
  const { page, errors } = await openPage(browser, desktop);
  await page.goto(`${demo.url}/#/round`);
  const tree = page.getByRole("button", { name: /^Gatepost, .*Arrow keys/ });
  const placeOf = async () => {
    const { places } = await ask<Sketch>(page, "/sketch");
    return places.find(({ place }) => place === "tree/gatepost");
  };
  const before = await placeOf();
  await tree.focus();
  await page.keyboard.press("ArrowRight");
  await expect.poll(async () => (await placeOf())?.xM).toBe((before?.xM ?? 0) + 1);
  await tree.scrollIntoViewIfNeeded();
  const box = await tree.boundingBox();
  if (box === null) throw new Error("the sketch requires the tree in sight");
  await page.mouse.move(box.x + 22, box.y + 22);
  await page.mouse.down();
  await page.mouse.move(box.x + 22, box.y - 60, { steps: 5 });
  await page.mouse.up();
  await expect.poll(async () => (await placeOf())?.yM).toBeLessThan((before?.yM ?? 0) - 5);

  await page.getByRole("textbox", { name: /^Distance/ }).fill("40 m");
  await page.getByRole("button", { name: "Draw the sketch to this scale" }).click();
  await expect
    .poll(async () => {
      const at = await placeOf();
      return Math.hypot(at?.xM ?? 0, at?.yM ?? 0);
    })
    .toBeCloseTo(40, 3);
  expect(errors).toEqual([]);
  await page.close();
});

it("what is taken to the boil is out of the barrel, and a mistake can be struck", async () => {
  const { page, errors } = await openPage(browser, phone);
  await page.goto(`${demo.url}/#/vessels`);
  const barrel = page.getByRole("article", { name: "Barrel" });
  await barrel.getByText("Pour", { exact: true }).click();
  const form = barrel.getByRole("form", { name: /^Pour/ });
  await form.getByLabel("How much").fill("7000000");
  await form.getByRole("button", { name: "Write it down" }).click();
  await form.locator(".problem").first().waitFor();
  expect(await form.getByLabel("How much").inputValue()).toBe("7000000");
  // The yard's people may fill the barrel or boil it down meanwhile: a US gallon, 3.785 L, is looked at by itself.
  const gallons = async () => {
    const lines = await ask<VesselLine[]>(page, "/vessels/barrel/pours");
    return lines.filter(({ kind, volumeL }) => kind === "boil" && Math.abs(volumeL - 3.785) < 5e-4)
      .length;
  };
  expect(await gallons()).toBe(0);
  await form.getByLabel("How much").fill("1 gal");
  await form.getByRole("button", { name: "Write it down" }).click();
  await expect.poll(gallons).toBe(1);
  const [newest] = await ask<VesselLine[]>(page, "/vessels/barrel/pours");
  expect(await barrelL(page)).toBeGreaterThanOrEqual((newest?.afterL ?? 0) - 0.01);
  await barrel.getByText("What went in and out").click();
  const line = barrel.locator("li", { hasText: "3.8 L to the boil" });
  await line.getByRole("button", { name: "That never was" }).click();
  await expect.poll(gallons).toBe(0);
  expect(errors).toEqual([]);
  await page.close();
});
