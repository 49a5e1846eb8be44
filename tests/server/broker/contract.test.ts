// What both brokers promise alike: the embedded one and the server beside a real Mosquitto.
import { afterEach, describe, expect, test } from "vitest";
import type { Broker } from "../../../server/broker/broker.ts";
import { createExternalBroker } from "../../../server/broker/external.ts";
import type { ForecastHour } from "../../../shared/wire/forecast.ts";
import { boardTopic } from "../../../shared/wire/topics.ts";
import { mosquittoPub, startMosquitto } from "../../helpers/mqtt-mosquitto.ts";
import { connectTo, inboxOf, nextOn, startEmbedded } from "../../helpers/mqtt-rig.ts";
import { openRig, packText, type Rig, startMs } from "../../helpers/store-rig.ts";

const closing: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

type Started = { rig: Rig; broker: Broker; url: string; forecasts: ForecastHour[][] };

async function embedded(): Promise<Started> {
  const { rig, broker, forecasts } = await startEmbedded();
  closing.push(() => broker.stop());
  return { rig, broker, url: broker.url(), forecasts };
}

async function besideMosquitto(rig = openRig(), url?: string): Promise<Started> {
  const mosquitto = url === undefined ? await startMosquitto() : { url, stop: async () => {} };
  closing.push(() => mosquitto.stop());
  const { inbox, forecasts } = inboxOf(rig);
  const broker = createExternalBroker({
    allowance: { admits: () => true },
    ...rig,
    inbox,
    url: mosquitto.url,
    clientId: `brimful-${rig.storeId}`,
    keptNotes: () =>
      rig.spools.listLatest().map(({ board, spool, through }) => ({
        board,
        kept: { v: 1, store: rig.storeId, spool, through },
      })),
  });
  rig.onKept((board, kept) => {
    broker
      .publish(boardTopic(board, "kept"), JSON.stringify(kept), { retain: true })
      .catch(() => {});
  });
  await broker.start();
  closing.push(() => broker.stop());
  return { rig, broker, url: mosquitto.url, forecasts };
}

async function connect(url: string) {
  const client = await connectTo(url);
  closing.push(() => client.endAsync(true));
  return client;
}

function massesG(rig: Rig, board = "hill") {
  const cell = rig.boards.findCell(board, "cell-1");
  if (cell === undefined) return [];
  const span = { cellKey: cell.key, fromMs: 0, untilMs: 8e15 };
  return rig.readings.listReadings(span).map(({ massG }) => massG);
}

const readings = "brimful/1/hill/readings";

describe.each([
  { kind: "the embedded broker", start: () => embedded(), versions: ["mqttv311"] as const },
  {
    kind: "Mosquitto",
    start: () => besideMosquitto(),
    versions: ["mqttv311", "mqttv5"] as const,
  },
])("$kind", ({ start, versions }) => {
  test("kept is published retained, and by then the readings are in the store", async () => {
    const { rig, url } = await start();
    const client = await connect(url);
    const hearing = nextOn(client, "brimful/1/hill/kept");
    await client.publishAsync(readings, packText({ batch: 1 }), { qos: 1 });
    expect(JSON.parse(await hearing)).toEqual({
      v: 1,
      store: rig.storeId,
      spool: "a1",
      through: 1,
    });
    expect(massesG(rig)).toEqual([7300]);
    const later = await connect(url);
    expect(JSON.parse(await nextOn(later, "brimful/1/hill/kept"))).toMatchObject({ through: 1 });
  });

  test("mosquitto_pub is a publisher, without batch and spool", async () => {
    const { rig, url } = await start();
    for (const [index, version] of versions.entries()) {
      const payload = packText({ massesKg: [index + 1], atMs: startMs + index * 1000 });
      await mosquittoPub(url, { topic: readings, payload, version });
    }
    await expect.poll(() => massesG(rig)).toEqual(versions.map((_, index) => (index + 1) * 1000));
    expect(rig.kept).toEqual([]);
  });

  test("what is bad is refused and what follows on the same connection is stored", async () => {
    const { rig, url } = await start();
    const client = await connect(url);
    await client.publishAsync(readings, "not json", { qos: 1 });
    await client.publishAsync(readings, Buffer.alloc(1_000_000, " "), { qos: 1 });
    await client.publishAsync(readings, packText({ board: "dale", batch: 1 }), { qos: 1 });
    await client.publishAsync(readings, packText({ batch: 2 }), { qos: 1 });
    await expect.poll(() => massesG(rig)).toEqual([7300]);
    expect(rig.intake.counts()).toMatchObject({ refusedPacks: 2, readings: 1 });
    expect(rig.rejected.listRejected(10)).toHaveLength(3);
    expect(rig.spools.through("hill", "a1")).toBe(2);
  });

  test("presence and the forecast arrive", async () => {
    const { rig, url, forecasts } = await start();
    const client = await connect(url);
    const presence = '{"v":1,"online":true}';
    await client.publishAsync("brimful/1/hill/presence", presence, { qos: 1, retain: true });
    await expect
      .poll(() => rig.boards.listBoards())
      .toMatchObject([{ name: "hill", online: true }]);
    const outlook = JSON.stringify([{ n: "forecast/air", u: "Cel", t: 3600, v: 4 }]);
    await client.publishAsync("brimful/1/forecast", outlook, { qos: 1, retain: true });
    await expect.poll(() => forecasts).toMatchObject([[{ airC: 4 }]]);
  });

  test("what the server publishes is heard, and an empty retained message clears it", async () => {
    const { broker, url } = await start();
    const client = await connect(url);
    await broker.publish("brimful/1/alarms/b-1", '{"v":1}', { retain: true });
    expect(await nextOn(client, "brimful/1/alarms/b-1")).toBe('{"v":1}');
    await broker.publish("brimful/1/alarms/b-1", "", { retain: true });
    const heard: string[] = [];
    const later = await connect(url);
    later.on("message", (topic) => heard.push(topic));
    await later.subscribeAsync("brimful/1/alarms/#");
    await later.publishAsync(readings, packText({}), { qos: 1 });
    expect(heard).toEqual([]);
  });

  test("a failed store keeps nothing; sent again, the pack is stored once", async () => {
    const { rig, url } = await start();
    const client = await connect(url);
    client.on("error", () => undefined);
    rig.sqlite.pragma("query_only = ON");
    client.publish(readings, packText({ batch: 1 }), { qos: 1 }, () => undefined);
    await expect.poll(() => rig.intake.counts().storeFailures).toBe(1);
    expect(rig.kept).toEqual([]);
    rig.sqlite.pragma("query_only = OFF");
    const again = await connect(url);
    await again.publishAsync(readings, packText({ batch: 1 }), { qos: 1 });
    await expect.poll(() => massesG(rig), { timeout: 8000 }).toEqual([7300]);
  });

  test("stopping twice is safe", async () => {
    const { broker } = await start();
    await broker.stop();
    await broker.stop();
    await expect(broker.publish("x", "", { retain: false })).rejects.toMatchObject({
      code: "network",
    });
  });
});

test("Mosquitto keeps for the server what comes while it is away", async () => {
  const first = await besideMosquitto();
  await first.broker.stop();
  const client = await connect(first.url);
  await client.publishAsync(readings, packText({ batch: 1 }), { qos: 1 });
  expect(massesG(first.rig)).toEqual([]);
  await besideMosquitto(first.rig, first.url);
  await expect.poll(() => massesG(first.rig)).toEqual([7300]);
});

test("a pack the store failed for comes again from Mosquitto by itself", async () => {
  const { rig, url } = await besideMosquitto();
  const client = await connect(url);
  rig.sqlite.pragma("query_only = ON");
  await client.publishAsync(readings, packText({ batch: 1 }), { qos: 1 });
  await expect.poll(() => rig.intake.counts().storeFailures).toBeGreaterThan(0);
  rig.sqlite.pragma("query_only = OFF");
  await expect.poll(() => massesG(rig), { timeout: 8000 }).toEqual([7300]);
});
