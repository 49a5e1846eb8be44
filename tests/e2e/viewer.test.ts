// Who came by a viewing link sees everything and finds nothing to press that the server would refuse.
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { hashFromRoute, places } from "../../web/routes.ts";
import { openBrowser, openPage, phone } from "../helpers/browser.ts";
import { createAsking } from "../helpers/http-asking.ts";
import { spawnServer } from "../helpers/mqtt-server.ts";

const command = fileURLToPath(new URL("../../server/commands/passphrase.ts", import.meta.url));
const passphrase = "three wet boots by the stove";

let browser: Browser;
let folder: string;
let server: ReturnType<typeof spawnServer>;

beforeAll(async () => {
  browser = await openBrowser();
  folder = mkdtempSync(join(tmpdir(), "brimful-viewer-"));
  const env = { ...process.env, BRIMFUL_DATA: folder };
  execFileSync(process.execPath, ["--import", "tsx", command], { env, input: `${passphrase}\n` });
  server = spawnServer(folder);
  await server.mqttUrl();
}, 60_000);
afterAll(async () => {
  await browser?.close();
  await server?.kill("SIGTERM");
  rmSync(folder, { recursive: true });
});

it("shows every view and no button that changes anything", async () => {
  const owner = await openPage(browser, phone);
  await owner.page.goto(server.httpUrl());
  await owner.page.getByLabel("Passphrase").fill(passphrase);
  await owner.page.keyboard.press("Enter");
  await owner.page.getByText("No board has been heard yet.").waitFor();
  const cookies = await owner.page.context().cookies();
  const cookie = cookies.map(({ name, value }) => `${name}=${value}`).join("; ");
  const api = createAsking(server.httpUrl());
  const bucket = { label: "Gate", cell: "hill/cell-1", capacityL: 12, emptyKg: 0.8 };
  expect((await api.post("/buckets", bucket, { cookie })).status).toBe(201);
  await api.post("/vessels", { label: "Barrel", capacityL: 100 }, { cookie });
  const link = (await api.post("/viewing-links", { label: "Neighbour" }, { cookie })).body;

  const context = await browser.newContext({ viewport: phone });
  const page = await context.newPage();
  await page.goto(`${server.httpUrl()}/#/visit/${link.secret}`);
  await page.getByText("You came by a viewing link").waitFor();
  const pressed = page.locator("main").locator("[type=submit]:visible, button:visible");
  const seen = new Set<string>();
  for (const view of [...places.map((place) => place.view), "bucket/gate"]) {
    const hash = view === "bucket/gate" ? "#/bucket/gate" : hashFromRoute({ view } as never);
    await page.goto(`${server.httpUrl()}/${hash}`);
    await page.locator("main h2, main .sentence, main h3").first().waitFor();
    await page.waitForTimeout(400);
    for (const words of await pressed.allTextContents()) seen.add(words.trim());
  }
  const harmless = ["Print the report", "Sign out", "Save the figures", "Save the picture"];
  expect([...seen].filter((words) => words.length > 1 && !harmless.includes(words))).toEqual([]);
  await page.getByRole("button", { name: "Save the figures" }).waitFor();
  // What only reckons stays.
  await page.goto(`${server.httpUrl()}/${hashFromRoute({ view: "boil" })}`);
  await page.getByLabel("The boiling pan shows").waitFor();
  await context.close();
});
