// The page in Chromium with fifty buckets and a season: how soon it stands, what it sends, how it moves.
import { setTimeout as delay } from "node:timers/promises";
import { connectAsync } from "mqtt";
import type { Browser, Page } from "playwright-core";
import { boardTopic } from "../../shared/wire/topics.ts";
import { desktop, openBrowser } from "../helpers/browser.ts";
import { type ServerChild, startServer } from "./child.ts";
import { type Figure, median, withRange } from "./figures.ts";
import { boardOf, buckets, cellsPerBoard, makeSeason } from "./season.ts";

const loads = 7;
const listenMs = 60_000;
const readEveryMs = 30_000;
const longFrameMs = 50;
const dragSteps = 60;
const drags = 4;
const goals = { readyMs: 1000, bytesPerS: 2000 };

export async function page(): Promise<Figure[]> {
  const season = await makeSeason();
  const server = await startServer(season.path);
  const stopPublishing = await publishAll(server.mqttUrl);
  const browser = await openBrowser();
  try {
    const cold = await coldLoads(browser, server);
    const heard = await listen(browser, server);
    return [...cold, ...heard, ...(await framesOf(browser, server))];
  } finally {
    await browser.close();
    await stopPublishing();
    await server.stop();
    season.remove();
  }
}

/** Every cell every 30 s, pack by pack spread over that time. */
async function publishAll(mqttUrl: string): Promise<() => Promise<void>> {
  const client = await connectAsync(mqttUrl);
  const packs = Math.ceil(buckets / cellsPerBoard);
  let next = 0;
  const say = () => {
    const pack = next % packs;
    const first = pack * cellsPerBoard + 1;
    const count = Math.min(cellsPerBoard, buckets - first + 1);
    const records = Array.from({ length: count }, (_, cell) => ({
      n: `cell-${first + cell}/mass`,
      u: "kg",
      v: 3 + next / 1000,
    }));
    next += 1;
    const board = boardOf(first);
    const air = { bn: `${board}/`, bt: Date.now() / 1000, n: "probe/air", u: "Cel", v: 4 };
    const payload = JSON.stringify([air, ...records]);
    client.publish(boardTopic(board, "readings"), payload, { qos: 1 });
  };
  for (let pack = 0; pack < packs; pack += 1) say();
  const timer = setInterval(say, readEveryMs / packs);
  return async () => {
    clearInterval(timer);
    await client.endAsync();
  };
}

/** Runs in the page: notes when all pails hang, on its own clock since it was asked for. */
const noteReady = `{
  const look = () => {
    if (document.querySelectorAll("li.pail").length < ${buckets}) return requestAnimationFrame(look);
    requestAnimationFrame((nowMs) => { document.documentElement.dataset.readyMs = nowMs; });
  };
  document.addEventListener("DOMContentLoaded", look);
}`;

async function coldLoads(browser: Browser, { httpUrl }: ServerChild): Promise<Figure[]> {
  const paints: number[] = [];
  const readies: number[] = [];
  for (let load = 0; load < loads; load += 1) {
    const context = await browser.newContext({ viewport: desktop });
    const opened = await context.newPage();
    await opened.addInitScript({ content: noteReady });
    await opened.goto(httpUrl);
    const ready = opened.locator("html[data-ready-ms]");
    await ready.waitFor({ state: "attached" });
    readies.push(Number(await ready.getAttribute("data-ready-ms")));
    paints.push(
      await opened.evaluate(
        () => performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? Number.NaN,
      ),
    );
    await context.close();
  }
  const ms = (value: number) => value.toFixed(0);
  return [
    { name: `page, cold: first paint, ${buckets} buckets`, value: `${withRange(paints, ms)} ms` },
    {
      name: `page, cold: all ${buckets} pails hang`,
      value: `${withRange(readies, ms)} ms`,
      goal: { text: "under 1 s", reached: median(readies) < goals.readyMs },
    },
  ];
}

/** What the server sends to one page that lies open on the pails. */
async function listen(browser: Browser, { httpUrl }: ServerChild): Promise<Figure[]> {
  const context = await browser.newContext({ viewport: desktop });
  const opened = await context.newPage();
  const network = await context.newCDPSession(opened);
  await network.send("Network.enable");
  const heard = { messages: 0, bytes: 0 };
  network.on("Network.webSocketFrameReceived", ({ response }) => {
    heard.messages += 1;
    heard.bytes += Buffer.byteLength(response.payloadData);
  });
  network.on("Network.dataReceived", ({ dataLength }) => {
    heard.bytes += dataLength;
  });
  await opened.goto(httpUrl);
  await opened
    .locator("li.pail")
    .nth(buckets - 1)
    .waitFor();
  await delay(2000);
  Object.assign(heard, { messages: 0, bytes: 0 });
  await delay(listenMs);
  await context.close();
  const minutes = listenMs / 60_000;
  const perS = heard.bytes / (listenMs / 1000);
  return [
    {
      name: `page, open: messages a minute, ${buckets} buckets at 30 s`,
      value: (heard.messages / minutes).toFixed(0),
    },
    {
      name: "page, open: sent to it, before compression",
      value: `${(perS / 1000).toFixed(2)} kB/s`,
      goal: { text: "under 2 kB/s", reached: perS < goals.bytesPerS },
    },
  ];
}

async function framesOf(browser: Browser, { httpUrl }: ServerChild): Promise<Figure[]> {
  const opened = await browser.newPage({ viewport: desktop });
  const figures: Figure[] = [];
  await opened.goto(`${httpUrl}/#/compare`);
  await opened.locator(".small-curves canvas").first().waitFor();
  await opened.getByText("Season", { exact: true }).last().click();
  await opened.getByRole("button", { name: "Closer" }).click();
  figures.push(await panned(opened, "24 trees side by side", ".small-curves .u-over"));
  await opened.getByText("On one another").click();
  figures.push(await panned(opened, "24 trees on one another", ".curve-group .u-over >> nth=1"));
  await opened.goto(`${httpUrl}/#/bucket/pail-7`);
  await opened.locator(".curves .u-over").first().waitFor();
  figures.push(await panned(opened, "one tree, readings at 30 s", ".curves .u-over >> nth=1"));
  await opened.close();
  return figures;
}

/** Drags the curves to and fro; every frame that took longer than 50 ms counts. */
async function panned(opened: Page, name: string, area: string): Promise<Figure> {
  await delay(1500);
  const chart = opened.locator(area).first();
  await chart.scrollIntoViewIfNeeded();
  const box = await chart.boundingBox();
  if (box === null) throw new Error(`panning requires a chart at ${area}, got none`);
  await opened.evaluate(noteFrames);
  const y = box.y + box.height / 2;
  for (let drag = 0; drag < drags; drag += 1) {
    const [from, to] = drag % 2 === 0 ? [0.1, 0.9] : [0.9, 0.1];
    await opened.mouse.move(box.x + from * box.width, y);
    await opened.mouse.down();
    for (let step = 1; step <= dragSteps; step += 1) {
      const share = from + ((to - from) * step) / dragSteps;
      await opened.mouse.move(box.x + share * box.width, y);
    }
    await opened.mouse.up();
    await delay(700);
  }
  const frames = JSON.parse(
    (await opened.locator("html").getAttribute("data-frames")) ?? "[]",
  ) as number[];
  const long = frames.filter((ms) => ms > longFrameMs);
  return {
    name: `panning ${name}: frames over ${longFrameMs} ms`,
    value: `${long.length} of ${frames.length}, longest ${Math.max(0, ...frames).toFixed(0)} ms`,
    goal: { text: "none", reached: long.length === 0 },
  };
}

/** Runs in the page: keeps the time from each frame to the next. */
const noteFrames = `{
  const frames = [];
  let beforeMs;
  const note = (nowMs) => {
    if (beforeMs !== undefined) frames.push(Math.round(nowMs - beforeMs));
    beforeMs = nowMs;
    document.documentElement.dataset.frames = JSON.stringify(frames);
    requestAnimationFrame(note);
  };
  requestAnimationFrame(note);
}`;
