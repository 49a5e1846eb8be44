// The demo as a person meets it: one command, then the yard in a real browser.
import axe from "axe-core";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { AlarmView, BucketView, YardView } from "../../shared/wire/api.ts";
import { desktop, openBrowser, openPage, phone } from "../helpers/browser.ts";
import { type Demo, startDemo, zoneWhereHourIs } from "../helpers/demo-process.ts";

let demo: Demo;
let browser: Browser;

beforeAll(async () => {
  // Morning in the yard, so that the day's run, its alarms and the evening round are ahead.
  const TZ = zoneWhereHourIs(9, Date.now());
  demo = await startDemo(["--seed", "9", "--speed", "900"], { TZ });
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await demo?.stop();
});

async function yardOf(page: Page): Promise<YardView> {
  return (await page.request.get(`${demo.url}/api/v1/yard`)).json() as Promise<YardView>;
}

async function bucketWhere(
  page: Page,
  isWanted: (bucket: BucketView) => boolean,
): Promise<BucketView> {
  let found: BucketView | undefined;
  await expect
    .poll(
      async () => {
        found = (await yardOf(page)).buckets.find(isWanted);
        return found !== undefined;
      },
      { timeout: 75_000, interval: 250 },
    )
    .toBe(true);
  return found as BucketView;
}

it("says where it is, fills in the past and says that the yard is simulated", async () => {
  expect(demo.output()).toMatch(/simulated yard: http:\/\/127\.0\.0\.1:\d+/);
  const { page, errors } = await openPage(browser, desktop);
  await page.goto(demo.url);
  await page.getByText(/Simulated yard/).waitFor();
  await expect.poll(() => page.locator("li.pail").count()).toBe(12);
  const { season, nowMs } = await yardOf(page);
  expect(nowMs - (season.firstReadingMs ?? nowMs)).toBeGreaterThan(9.9 * 86_400_000);
  const everything = `/api/v1/alarms?fromMs=0&toMs=${Math.round(nowMs)}`;
  const alarms = (await (await page.request.get(`${demo.url}${everything}`)).json()) as AlarmView[];
  expect(alarms.filter(({ subject }) => subject === "vessel/barrel")).toEqual([]);
  expect(errors).toEqual([]);
  await page.close();
});

it("warns before a bucket brims over, and is calm again when the round has emptied it", async () => {
  const { page, errors } = await openPage(browser, phone);
  await page.goto(demo.url);
  const warned = await bucketWhere(
    page,
    ({ alarms, state }) => alarms.includes("brim") && state !== "brimful" && state !== "away",
  );
  expect(warned.fullFraction).toBeLessThan(1);
  const pail = page.locator("li.pail", { hasText: warned.label });
  await pail
    .getByText(/gather/i)
    .first()
    .waitFor();
  await page
    .getByText(new RegExp(`^Gather .*${warned.label}`))
    .first()
    .waitFor();

  await page.getByRole("link", { name: /^Alarms/ }).click();
  const alarm = page.locator(".alarm", { hasText: warned.label }).first();
  await alarm.getByRole("button", { name: "Seen" }).click();
  await alarm.getByText(/seen/).waitFor();
  await page.getByRole("link", { name: "Pails" }).click();

  const emptied = await bucketWhere(
    page,
    ({ id, volumeL, alarms }) => id === warned.id && (volumeL ?? 99) < 1 && alarms.length === 0,
  );
  const unseen = pail.locator(".unseen");
  await expect.poll(() => unseen.textContent()).not.toMatch(/To do: gather/);
  const span = `fromMs=0&toMs=${Date.now() + 30 * 86_400_000}`;
  const answer = await page.request.get(`${demo.url}/api/v1/gatherings?${span}`);
  const gatherings = (await answer.json()) as { bucketId: string; by: string; atMs: number }[];
  const last = gatherings.filter(({ bucketId }) => bucketId === emptied.id).at(-1);
  expect(last?.by).toBe("cell");
  expect(last?.atMs).toBeGreaterThan(warned.lastReadingMs ?? 0);
  expect(errors).toEqual([]);
  await page.close();
});

it("shows one tree's curves and compares all trees", async () => {
  const { page, errors } = await openPage(browser, desktop);
  await page.goto(demo.url);
  await page.locator("li.pail a").first().click();
  await expect.poll(() => page.locator("canvas").count()).toBeGreaterThanOrEqual(3);
  await page.getByRole("button", { name: "That wasn't a gathering" }).first().click();
  await page.getByText("struck: not a gathering").waitFor();
  await page.getByRole("button", { name: "It was one after all" }).click();
  await page.getByRole("link", { name: "Compare" }).click();
  await expect.poll(() => page.locator("table.ranks tbody tr").count()).toBe(12);
  await expect.poll(() => page.locator(".small-curves li").count()).toBe(12);
  const shares = await page.locator("table.ranks tbody tr").allTextContents();
  expect(shares[0]).toMatch(/%/);
  expect(errors).toEqual([]);
  await page.close();
});

it("asks a board from set-up, previews a corrected calibration, corrects the past and undoes it", async () => {
  const { page, errors } = await openPage(browser, phone);
  await page.goto(`${demo.url}/#/setup`);
  const hill = page.locator("details.board-cells", { hasText: "Gatepost" });
  await hill.locator("summary").click();
  await hill.getByRole("button", { name: "Blink its lamp" }).click();
  await hill.getByText("Board hill has no lamp.").waitFor();
  const cell = hill.locator("li", { hasText: "Gatepost" });
  await cell.getByRole("button", { name: /Correct its past/ }).click();
  await cell.getByRole("button", { name: /Ask the board how/ }).click();
  await cell.getByText(/weighs with .* counts a gram/).waitFor();
  const gain = cell.getByLabel("Counts a gram");
  await gain.fill("0");
  await cell.getByRole("button", { name: "Show what would change" }).click();
  await cell.getByText('"0" is not').waitFor();
  await gain.fill("200");
  await cell.getByLabel(/^Until/).fill("");
  await cell.getByRole("button", { name: "Show what would change" }).click();
  await cell.getByRole("table").waitFor({ timeout: 30_000 });
  expect(await cell.getByRole("table").textContent()).toMatch(/Together.* L.* L/);
  expect(await mendable(page)).toEqual([]);
  await cell.getByRole("button", { name: /like this/ }).click();
  await cell.getByText(/^Corrected until/).waitFor();
  await cell.getByRole("button", { name: /^Undo/ }).click();
  await cell.getByText(/^Corrected until/).waitFor({ state: "detached" });
  expect(errors).toEqual([]);
  await page.close();
});

/** What axe says is to be mended on the page as it is. */
async function mendable(page: Page): Promise<string[]> {
  // Evaluated by the debugger: the page's own policy lets no script in.
  await page.evaluate(axe.source);
  const result = await page.evaluate(() =>
    window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"] }),
  );
  return result.violations.map(({ id, help }) => `${id}: ${help}`);
}

declare global {
  interface Window {
    axe: typeof axe;
  }
}
