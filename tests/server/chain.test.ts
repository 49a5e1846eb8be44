// The whole chain in one process: mosquitto_pub from a shell, broker, store, flow, alarm, HTTP and MQTT note.
import { execFile } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import mqtt from "mqtt";
import { afterEach, beforeEach, expect, it } from "vitest";
import { type App, type AppParts, createApp } from "../../server/app.ts";
import { createBackUp } from "../../server/care/backup-program.ts";
import { type Config, parseConfig } from "../../server/config.ts";
import { openStore } from "../../server/db/open.ts";
import type { YardView } from "../../shared/wire/api.ts";
import { alarmTopic, boardTopic } from "../../shared/wire/topics.ts";
import { createTestClock, createTestLog, startMs } from "../helpers/store-rig.ts";

const run = promisify(execFile);
const minute = 60_000;
const hour = 60 * minute;
let folder: string;
let app: App;
const clock = createTestClock();

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), "brimful-chain-"));
  app = await startApp();
});

afterEach(async () => {
  await app.stop();
  rmSync(folder, { recursive: true });
});

const backupProgram = new URL("../../server/commands/backup.ts", import.meta.url).pathname;

function appParts(config: Config): AppParts {
  const backUp = createBackUp(["--import", "tsx", backupProgram]);
  return { config, clock, log: createTestLog(), webFolder: folder, backUp, version: "0.0.0" };
}

async function startApp(): Promise<App> {
  const config = parseConfig({
    BRIMFUL_DATA: folder,
    BRIMFUL_HTTP_PORT: "0",
    BRIMFUL_MQTT_PORT: "0",
    BRIMFUL_TZ: "America/Toronto",
  });
  if (!config.ok) throw new Error(config.problem);
  const started = createApp(appParts(config.value));
  await started.start();
  return started;
}

async function call(method: string, path: string, body: unknown): Promise<{ id: string }> {
  const answer = await fetch(`${app.httpUrl()}/api/v1/${path}`, {
    method,
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
  });
  if (!answer.ok) throw new Error(await answer.text());
  return (await answer.json()) as { id: string };
}

async function yard(): Promise<YardView> {
  return (await fetch(`${app.httpUrl()}/api/v1/yard`)).json() as Promise<YardView>;
}

/** Half-minute weights of six hours in which a bucket fills at 1.1 kg/h, one pack an hour. */
function packs(): string[] {
  return Array.from({ length: 6 }, (_, packHour) => {
    const fromMs = startMs - (6 - packHour) * hour;
    const records: object[] = [
      { bn: "shed/", bt: fromMs / 1000, n: "probe/air", u: "Cel", v: 5.5 },
    ];
    for (let step = 0; step < 120; step += 1) {
      const t = step * 30;
      records.push({ n: "cell-1/mass", u: "kg", t, v: 0.8 + 1.1 * (packHour + t / 3600) });
    }
    return JSON.stringify(records);
  });
}

async function publish(payload: string): Promise<void> {
  const { port } = new URL(app.mqttUrl());
  const topic = boardTopic("shed", "readings");
  await run("mosquitto_pub", ["-p", port, "-q", "1", "-t", topic, "-m", payload]);
}

it("a bucket that mosquitto_pub fills is shown, warned of, and said on the alarms topic", async () => {
  const treeId = (await call("POST", "trees", { label: "Shed maple" })).id;
  const tapIds = [(await call("POST", "taps", { treeId })).id];
  const bucket = { label: "Shed", tapIds, cell: "shed/cell-1", capacityL: 8, emptyKg: 0.8 };
  await call("POST", "buckets", { ...bucket, fromMs: startMs - 24 * hour });
  for (const pack of packs()) await publish(pack);
  await expect.poll(async () => (await yard()).buckets[0]?.alarms).toContain("brim");
  const [view] = (await yard()).buckets;
  expect(view?.volumeL).toBeGreaterThan(6.4);
  expect(view?.volumeL).toBeLessThan(6.7);
  expect(view?.flowLPerH).toBeGreaterThan(0.95);
  expect(view?.flowLPerH).toBeLessThan(1.2);
  expect(view?.brim?.t50Ms).toBeGreaterThan(startMs);

  const [topic, payload] = await firstNote();
  expect(topic).toBe("brimful/1/alarms/shed");
  expect(JSON.parse(payload.toString())).toMatchObject({ v: 1, kinds: ["brim"] });
});

/** What somebody who subscribes to the alarms of the shed's bucket is told first. */
async function firstNote(): Promise<[string, Buffer]> {
  const listener = await mqtt.connectAsync(app.mqttUrl());
  const heard = new Promise<[string, Buffer]>((resolve) => {
    listener.on("message", (topic, payload) => resolve([topic, payload]));
  });
  await listener.subscribeAsync(alarmTopic("shed"), { qos: 1 });
  const note = await heard;
  await listener.endAsync();
  return note;
}

it("a new cell asks whose bucket it is, and what it weighed before counts once it is told", async () => {
  for (const pack of packs()) await publish(pack);
  const before = await yard();
  expect(before.doNow.sentence).toMatch(/shed\/cell-1 is weighing/);
  expect(before.buckets).toEqual([]);
  await call("POST", "buckets", { label: "Shed", cell: "shed/cell-1", capacityL: 8, emptyKg: 0.8 });
  await expect.poll(async () => (await yard()).buckets[0]?.volumeL).toBeGreaterThan(6.4);
  const curve = await fetch(
    `${app.httpUrl()}/api/v1/buckets/shed/curve?fromMs=${startMs - 6 * hour}&toMs=${startMs}&stepMs=60000`,
  );
  const { flowLPerH } = (await curve.json()) as { flowLPerH: (number | null)[] };
  expect(flowLPerH).toHaveLength(360);
  expect(flowLPerH.at(-1)).toBeGreaterThan(0.95);
});

it("stops and starts again with the same numbers and the same open alarm", async () => {
  await call("POST", "buckets", {
    label: "Shed",
    cell: "shed/cell-1",
    capacityL: 8,
    emptyKg: 0.8,
    fromMs: startMs - 24 * hour,
  });
  for (const pack of packs()) await publish(pack);
  await expect.poll(async () => (await yard()).buckets[0]?.alarms).toContain("brim");
  const before = await yard();
  await app.stop();
  app = await startApp();
  await expect.poll(async () => (await yard()).buckets[0]?.volumeL).not.toBeNull();
  const after = await yard();
  expect(after.alarms.map(({ id }) => id)).toEqual(before.alarms.map(({ id }) => id));
  const { brim: _, keeping: __, ...shown } = after.buckets[0] ?? {};
  expect(before.buckets[0]).toMatchObject(shown);
  const [, payload] = await firstNote();
  expect(JSON.parse(payload.toString())).toMatchObject({ kinds: ["brim"] });
});

it("a port in use is told in one line that names the setting", async () => {
  const port = new URL(app.httpUrl()).port;
  const config = parseConfig({
    BRIMFUL_DATA: mkdtempSync(join(tmpdir(), "brimful-chain-")),
    BRIMFUL_HTTP_PORT: port,
    BRIMFUL_MQTT_PORT: "0",
  });
  if (!config.ok) throw new Error(config.problem);
  const other = createApp(appParts(config.value));
  await expect(other.start()).rejects.toThrow(
    `BRIMFUL_HTTP_PORT requires a free port, got ${port}, which is in use`,
  );
  await other.stop();
  rmSync(config.value.dataFolder, { recursive: true });
});

it("refuses a wide address without a passphrase and names the command that sets one", async () => {
  const config = parseConfig({
    BRIMFUL_DATA: mkdtempSync(join(tmpdir(), "brimful-chain-")),
    BRIMFUL_HTTP_HOST: "0.0.0.0",
    BRIMFUL_MQTT_HOST: "0.0.0.0",
  });
  if (!config.ok) throw new Error(config.problem);
  const other = createApp(appParts(config.value));
  await expect(other.start()).rejects.toThrow(/npm run passphrase[\s\S]*npm run enrol/);
  await other.stop();
  rmSync(config.value.dataFolder, { recursive: true });
});

it("keeps what it has when the program is started on a database of a later version", () => {
  const later = mkdtempSync(join(tmpdir(), "brimful-chain-"));
  const sqlite = openStore(later);
  sqlite.pragma("user_version = 999");
  sqlite.close();
  expect(() => openStore(later)).toThrow(/version 999 or later/);
  rmSync(later, { recursive: true });
});
