// A tree as a person meets it: measured, tapped, its spile pulled, in their own units.
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Tap, Tree } from "../../shared/wire/records.ts";
import { openBrowser, openPage, phone } from "../helpers/browser.ts";
import { type Demo, startDemo, zoneWhereHourIs } from "../helpers/demo-process.ts";

let demo: Demo;
let browser: Browser;

beforeAll(async () => {
  demo = await startDemo(["--seed", "9", "--speed", "60"], { TZ: zoneWhereHourIs(11, Date.now()) });
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await demo?.stop();
});

it("a tree is measured and tapped, and the second hole goes to its other side", async () => {
  const { page, errors } = await openPage(browser, phone);
  const records = async () => {
    const [trees, taps] = await Promise.all(
      ["trees", "taps"].map(async (name) =>
        (await page.request.get(`${demo.url}/api/v1/${name}`)).json(),
      ),
    );
    const tree = (trees as Tree[]).find(({ label }) => label === "Fence Maple");
    return { tree, taps: (taps as Tap[]).filter(({ treeId }) => treeId === tree?.id) };
  };
  await page.goto(demo.url);
  await page.getByText("gal, °F").click();
  await page.getByRole("button", { name: "More" }).click();
  await page.getByRole("link", { name: "Trees" }).click();
  await page.getByText("Take care:").waitFor();
  await page.getByRole("button", { name: "Add a tree" }).click();
  await page.getByLabel("Name").fill("Fence Maple");

  await page.getByLabel("Girth").fill("57 gal");
  await page.getByRole("button", { name: "Add it" }).click();
  await page.getByText("“gal” measures a volume").waitFor();
  expect(await page.getByLabel("Girth").inputValue()).toBe("57 gal");

  await page.getByLabel("Girth").fill("57");
  await page.getByLabel("Diameter, to check").fill("28.5");
  await page.getByText("looks like half the girth. The tree is 18.1 in through").waitFor();
  await page.getByRole("button", { name: "Add it" }).click();
  await page.getByText("18.1 in through: room for 2 taps").waitFor();
  expect((await records()).tree?.girthCm).toBeCloseTo(144.78, 6);

  const around = page.getByLabel("Around the trunk");
  const before = await around.inputValue();
  await page.locator(".trunk svg").click({ position: { x: 40, y: 60 } });
  expect(await around.inputValue()).not.toBe(before);

  await page.getByLabel("The wood’s temperature").fill("20 F");
  await page.getByText("The wood may be frozen and split").waitFor();
  await page.getByLabel("The wood’s temperature").fill("-500 F");
  await page.getByRole("button", { name: "Write the hole down" }).click();
  expect(await page.getByLabel("The wood’s temperature").inputValue()).toBe("-500 F");
  expect((await records()).taps).toHaveLength(0);
  await page.getByLabel("The wood’s temperature").fill("35 F");
  await page.getByLabel("Slope upwards").fill("7");
  for (const count of [1, 2]) {
    await page.getByRole("button", { name: "Write the hole down" }).click();
    await expect.poll(async () => (await records()).taps.length).toBe(count);
    await page.locator("b", { hasText: `Fence Maple ${count}` }).waitFor();
  }
  await page.getByText("The guideline leaves no room for one more tap").waitFor();
  const [one, two] = (await records()).taps;
  const apartCm = Math.abs((one?.aroundCm ?? 0) - (two?.aroundCm ?? 0));
  expect(Math.min(apartCm, 144.78 - apartCm)).toBeGreaterThan(30);
  expect(one).toMatchObject({ bitMm: 7.9, depthMm: 38, slopeDegrees: 7, pulledMs: null });
  expect(one?.woodTempC).toBeCloseTo(1.667, 3);

  await page.getByRole("button", { name: "Pull the spile of Fence Maple 1" }).click();
  await page
    .getByText(/spile pulled/)
    .first()
    .waitFor();
  expect((await records()).taps.filter(({ pulledMs }) => pulledMs !== null)).toHaveLength(1);
  expect(errors).toEqual([]);
  await page.close();
});

it("the days ahead are told once a forecast is there, and how to send one before", async () => {
  const { page, errors } = await openPage(browser, phone);
  await page.goto(`${demo.url}/#/trees`);
  await page.getByText("How to send one").click();
  await page.getByText("brimful/1/forecast").waitFor();
  const yard = (await (await page.request.get(`${demo.url}/api/v1/yard`)).json()) as {
    nowMs: number;
  };
  const hour = Math.floor(yard.nowMs / 3_600_000) * 3600;
  const outlook = Array.from({ length: 24 * 6 }, (_, index) => ({
    n: "forecast/air",
    u: "Cel",
    t: hour + index * 3600,
    v: 7 * Math.sin((index / 12) * Math.PI),
  }));
  const sent = await page.request.post(`${demo.url}/api/v1/forecast`, {
    headers: { "content-type": "application/senml+json" },
    data: JSON.stringify(outlook),
  });
  expect(sent.ok()).toBe(true);
  await page.reload();
  await page.getByText(/Next run/).waitFor();
  expect(await page.locator(".coming-days .is-run").count()).toBeGreaterThan(2);
  expect(errors).toEqual([]);
  await page.close();
});
