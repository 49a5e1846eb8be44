// Takes pictures of every view of the demo, phone and desktop, and the README's two: `npm run screenshots [-- FOLDER]`.
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser } from "playwright-core";
import type { BucketView, YardView } from "../../shared/wire/api.ts";
import { hashFromRoute, places } from "../../web/routes.ts";
import { desktop, openBrowser, phone } from "../helpers/browser.ts";
import { startDemo, zoneWhereHourIs } from "../helpers/demo-process.ts";

const folder = process.argv[2] ?? fileURLToPath(new URL("../../dist/pictures", import.meta.url));
/** Kept with the code: the README shows them. */
const readmeFolder = fileURLToPath(new URL("./pictures", import.meta.url));
const settleMs = 1500;
const longestWaitMs = 90_000;

async function run(): Promise<void> {
  mkdirSync(folder, { recursive: true });
  const TZ = zoneWhereHourIs(9, Date.now());
  const demo = await startDemo(["--seed", "9", "--speed", "600"], { TZ });
  const browser = await openBrowser();
  try {
    const warned = await bucketWithWarning(demo.url);
    if (process.argv[2] === undefined) await takeForReadme(browser, demo.url);
    const bucket = warned?.id ?? "gatepost";
    const batches = (await (await fetch(`${demo.url}/api/v1/batches`)).json()) as { id: number }[];
    const views = {
      ...Object.fromEntries(places.map(({ view }) => [view, hashFromRoute({ view })])),
      bucket: hashFromRoute({ view: "bucket", id: bucket }),
      tree: hashFromRoute({ view: "tree", id: warned?.tree?.id ?? bucket }),
      labels: hashFromRoute({ view: "labels", id: String(batches[0]?.id) }),
    };
    for (const [size, viewport] of Object.entries({ phone, desktop })) {
      const page = await browser.newPage({ viewport });
      for (const [name, hash] of Object.entries(views)) {
        await page.goto(`${demo.url}/${hash}`);
        await page.waitForTimeout(settleMs);
        const path = join(folder, `${name}-${size}.png`);
        await page.screenshot({ path, fullPage: true });
        console.log(path);
      }
      await page.close();
    }
  } finally {
    await browser.close();
    await demo.stop();
  }
}

/** What is in sight at once, so that each stays below 200 kB. */
async function takeForReadme(browser: Browser, url: string): Promise<void> {
  const page = await browser.newPage({ viewport: desktop });
  await page.goto(`${url}/${hashFromRoute({ view: "yard" })}`);
  await page.waitForTimeout(settleMs);
  await page.screenshot({ path: join(readmeFolder, "yard.png") });
  await page.goto(`${url}/${hashFromRoute({ view: "compare" })}`);
  await page.getByText("On one another").click();
  await page.waitForTimeout(settleMs);
  await page.screenshot({ path: join(readmeFolder, "compare.png") });
  await page.close();
}

/** The yard is worth a picture when something is to be done in it. */
async function bucketWithWarning(url: string): Promise<BucketView | undefined> {
  const untilMs = Date.now() + longestWaitMs;
  while (Date.now() < untilMs) {
    const yard = (await (await fetch(`${url}/api/v1/yard`)).json()) as YardView;
    const warned = yard.buckets.find(({ alarms }) => alarms.includes("brim"));
    if (warned) return warned;
    await new Promise((resolve) => setTimeout(resolve, 500));
  }
  return undefined;
}

await run();
