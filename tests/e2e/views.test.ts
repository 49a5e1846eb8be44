// One demo, looked at from every side: the curves by hand, and every view in light and dark, small and wide.
import { readFileSync } from "node:fs";
import axe from "axe-core";
import type { Browser, Locator, Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { hashFromRoute, places } from "../../web/routes.ts";
import { desktop, openBrowser, openPage } from "../helpers/browser.ts";
import { type Demo, startDemo, zoneWhereHourIs } from "../helpers/demo-process.ts";

let demo: Demo;
let browser: Browser;

beforeAll(async () => {
  const TZ = zoneWhereHourIs(13, Date.now());
  demo = await startDemo(["--seed", "9", "--speed", "30"], { TZ });
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await demo?.stop();
});

/** What stands first in the readout, the moment pointed at. */
async function readMoment(page: Page): Promise<string> {
  return (await page.locator(".readout").textContent())?.split(" · ")[0] ?? "";
}

async function middleOf(area: Locator): Promise<{ x: number; y: number }> {
  await area.scrollIntoViewIfNeeded();
  const box = await area.boundingBox();
  if (box === null) throw new Error("a chart requires a place on the page, got none");
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

async function stepsInSight(page: Page): Promise<number> {
  const slider = page.getByLabel("Read along the curves");
  const [first, last] = await Promise.all([slider.getAttribute("min"), slider.getAttribute("max")]);
  return Number(last) - Number(first);
}

it("one tree's curves are moved and read by mouse, wheel, buttons and keys, and saved", async () => {
  const { page, errors } = await openPage(browser, desktop);
  await page.goto(`${demo.url}/#/bucket/gatepost`);
  const flow = page.locator(".curves .u-over").nth(1);
  await flow.waitFor();
  const { x, y } = await middleOf(flow);

  await page.mouse.move(x, y);
  const before = await readMoment(page);
  expect(before).toMatch(/\d:\d\d$/);
  await page.mouse.down();
  await page.mouse.move(x + 200, y, { steps: 5 });
  await page.mouse.up();
  await expect.poll(() => page.getByLabel("3 days").isChecked()).toBe(false);
  // What was under the mouse went along with it.
  expect(await readMoment(page)).toBe(before);

  await page.keyboard.down("Control");
  await page.mouse.wheel(0, -600);
  await page.keyboard.up("Control");
  await page.mouse.move(x, y);
  await expect.poll(() => readMoment(page)).not.toBe(before);

  await page.getByRole("group", { name: "Curves", exact: true }).focus();
  const atRest = await readMoment(page);
  await page.keyboard.press("ArrowLeft");
  await expect.poll(() => readMoment(page)).not.toBe(atRest);
  await page.getByRole("button", { name: "Wider" }).click();
  await page.getByLabel("10 days").check({ force: true });
  await expect.poll(() => stepsInSight(page)).toBeGreaterThan(300);

  const [figures] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Save the figures" }).click(),
  ]);
  const csv = readFileSync(await figures.path(), "utf8");
  expect(csv).toMatch(/^time UTC,time [^,]+,flow L\/h,/);
  expect(csv.split("\r\n").length).toBeGreaterThan(300);
  const [picture] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Save the picture" }).click(),
  ]);
  expect(picture.suggestedFilename()).toMatch(/^gatepost-.*\.png$/);
  const png = readFileSync(await picture.path());
  // PNG (second edition), 5.2: the signature; a blank picture of this size packs into far less.
  expect(png.subarray(0, 8).toString("latin1")).toBe("\x89PNG\r\n\x1a\n");
  expect(png.length).toBeGreaterThan(20_000);
  expect(errors).toEqual([]);
  await page.close();
});

it("fingers move, pinch and read the curves", async () => {
  const context = await browser.newContext({
    viewport: { width: 360, height: 800 },
    hasTouch: true,
    isMobile: true,
  });
  const page = await context.newPage();
  await page.goto(`${demo.url}/#/bucket/gatepost`);
  const flow = page.locator(".curves .u-over").nth(1);
  await flow.waitFor();
  const { x, y } = await middleOf(flow);
  await page.touchscreen.tap(x, y);
  const atTap = await readMoment(page);
  await page.touchscreen.tap(x - 60, y);
  await expect.poll(() => readMoment(page)).not.toBe(atTap);

  const cdp = await context.newCDPSession(page);
  const touch = (type: "touchStart" | "touchMove" | "touchEnd", ...xs: number[]) =>
    cdp.send("Input.dispatchTouchEvent", {
      type,
      touchPoints: xs.map((at, id) => ({ x: at, y, id })),
    });
  await touch("touchStart", x);
  for (const by of [20, 50, 80]) await touch("touchMove", x + by);
  await touch("touchEnd");
  await expect.poll(() => page.getByLabel("3 days").isChecked()).toBe(false);
  const wide = await stepsInSight(page);
  await touch("touchStart", x - 20, x + 20);
  for (const by of [30, 50, 80]) await touch("touchMove", x - by, x + by);
  await touch("touchEnd");
  await expect.poll(() => stepsInSight(page)).not.toBe(wide);
  await context.close();
});

it("trees are compared side by side and on one another, by the clock and from the thaw on", async () => {
  const { page, errors } = await openPage(browser, desktop);
  await page.goto(`${demo.url}/#/compare`);
  await expect.poll(() => page.locator(".small-curves canvas").count()).toBe(12);
  const small = page.locator(".small-curves .u-over").first();
  const { x, y } = await middleOf(small);
  await page.mouse.move(x, y);
  await expect.poll(() => page.locator(".small-curves li", { hasText: /L\/h/ }).count()).toBe(12);

  await page.getByText("On one another").click();
  const picks = page.locator(".line-picks");
  await expect.poll(() => picks.getByRole("checkbox", { checked: true }).count()).toBe(4);
  await picks.getByRole("checkbox", { checked: false }).first().check();
  await picks.getByRole("checkbox", { checked: false }).first().check();
  await expect.poll(() => picks.locator("input:disabled").count()).toBe(6);
  await page.getByText("From the thaw on").click();
  await page.getByText(/since the air rose above freezing/).waitFor();
  const [figures] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Save the figures" }).click(),
  ]);
  const lines = readFileSync(await figures.path(), "utf8")
    .trim()
    .split("\r\n");
  expect(lines[0]).toMatch(/^hours since the thaw,/);
  expect(lines[1]?.split(",")[0]).toBe("-2.00");
  expect(lines).toHaveLength(98);
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
  return result.violations.map(
    ({ id, help, nodes }) => `${id}: ${help} (${nodes[0]?.html.slice(0, 80) ?? ""})`,
  );
}

const allViews = [
  "#/bucket/gatepost",
  "#/tree/gatepost",
  ...places.map(({ view }) => hashFromRoute({ view })),
];

async function openView(page: Page, hash: string): Promise<void> {
  await page.goto(`${demo.url}/${hash}`);
  await page.locator("main h1, main h2, main .sentence").first().waitFor();
  if (/bucket|compare/.test(hash)) await page.locator("main canvas").first().waitFor();
}

function scrollsSideways(page: Page): Promise<boolean> {
  return page.evaluate(() => document.documentElement.scrollWidth > window.innerWidth);
}

const looks = [
  { name: "320 px, dark", width: 320, colorScheme: "dark", axe: true, textPercent: 100 },
  { name: "1280 px, light", width: 1280, colorScheme: "light", axe: true, textPercent: 100 },
  { name: "360 px, text at 200 %", width: 360, colorScheme: "light", axe: false, textPercent: 200 },
  { name: "2560 px", width: 2560, colorScheme: "light", axe: false, textPercent: 100 },
] as const;

it.each(looks)("every view is right at $name", async (look) => {
  const { page } = await openPage(browser, { width: look.width, height: 800 });
  await page.emulateMedia({ colorScheme: look.colorScheme });
  const found: string[] = [];
  for (const hash of allViews) {
    await openView(page, hash);
    await page.evaluate((percent) => {
      document.documentElement.style.fontSize = `${percent}%`;
    }, look.textPercent);
    if (look.axe) found.push(...(await mendable(page)).map((problem) => `${hash} ${problem}`));
    if (await scrollsSideways(page)) found.push(`${hash} scrolls sideways`);
  }
  expect(found).toEqual([]);
  await page.close();
});

it("on paper there is what one reads and nothing that one presses", async () => {
  const { page } = await openPage(browser, { width: 720, height: 1000 });
  await page.emulateMedia({ media: "print", colorScheme: "dark" });
  const read = {
    "#/": "li.pail",
    "#/round": ".sketch .place",
    "#/season": ".season-curve svg",
    "#/record": "table.ranks",
  };
  for (const [hash, kept] of Object.entries(read)) {
    await page.goto(`${demo.url}/${hash}`);
    await page.locator(kept).first().waitFor();
    const pressed = page.locator("nav, .form, .switch, button:not(.place), .cautions");
    const seen = await pressed.evaluateAll(
      (all) => all.filter((one) => one.checkVisibility()).length,
    );
    expect([hash, seen]).toEqual([hash, 0]);
    const paper = await page.evaluate(
      () => getComputedStyle(document.documentElement).backgroundColor,
    );
    expect(paper).toBe("rgb(255, 255, 255)");
  }
  await page.close();
});

it("nothing moves for whom motion is too much", async () => {
  const { page } = await openPage(browser, desktop);
  await page.goto(demo.url);
  await page.locator("li.pail").first().waitFor();
  await expect.poll(() => page.evaluate(() => document.getAnimations().length)).toBeGreaterThan(0);
  await page.emulateMedia({ reducedMotion: "reduce" });
  await expect.poll(() => page.evaluate(() => document.getAnimations().length)).toBe(0);
  await page.close();
});

declare global {
  interface Window {
    axe: typeof axe;
  }
}
