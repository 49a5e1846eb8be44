// Tests the embedded broker over real connections: stored before acknowledged, rights, and what it refuses.
import { createServer } from "node:net";
import { afterEach, expect, test } from "vitest";
import { hashSecret } from "../../../server/secrets.ts";
import { connectTo, nextOn, startEmbedded } from "../../helpers/mqtt-rig.ts";
import { openRig, packText, startMs } from "../../helpers/store-rig.ts";

const closing: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

async function start(...args: Parameters<typeof startEmbedded>) {
  const started = await startEmbedded(...args);
  closing.push(() => started.broker.stop());
  return started;
}

async function connect(...args: Parameters<typeof connectTo>) {
  const client = await connectTo(...args);
  closing.push(() => client.endAsync(true));
  return client;
}

const everything = { fromMs: 0, untilMs: 8e15 };

function massesG(rig: ReturnType<typeof openRig>, board: string) {
  const cell = rig.boards.findCell(board, "cell-1");
  if (cell === undefined) return [];
  const readings = rig.readings.listReadings({ cellKey: cell.key, ...everything });
  return readings.map(({ massG }) => massG);
}

test("a pack is in the store when its acknowledgement arrives, and kept is retained", async () => {
  const { rig, broker } = await start();
  const client = await connect(broker.url());
  await client.publishAsync("brimful/1/hill/readings", packText({ batch: 1 }), { qos: 1 });
  expect(massesG(rig, "hill")).toEqual([7300]);
  const kept = JSON.parse(await nextOn(client, "brimful/1/hill/kept"));
  expect(kept).toEqual({ v: 1, store: rig.storeId, spool: "a1", through: 1 });
});

test("kept is retained again after a restart", async () => {
  const first = await start();
  const client = await connect(first.broker.url());
  await client.publishAsync("brimful/1/hill/readings", packText({ batch: 1 }), { qos: 1 });
  await first.broker.stop();
  const second = await start(first.rig);
  const later = await connect(second.broker.url());
  expect(JSON.parse(await nextOn(later, "brimful/1/hill/kept"))).toMatchObject({ through: 1 });
});

test("forbidden and malformed publishes are acknowledged, dropped and counted; the connection stays", async () => {
  const { rig, broker } = await start();
  const client = await connect(broker.url());
  const heard: string[] = [];
  client.on("message", (topic) => heard.push(topic));
  await client.subscribeAsync("#", { qos: 1 });
  for (const topic of ["brimful/1/hill/kept", "brimful/1/alarms/a", "elsewhere", "$SYS/x"]) {
    await client.publishAsync(topic, "{}", { qos: 1, retain: true });
  }
  await client.publishAsync("brimful/1/hill/readings", "not json", { qos: 1 });
  await client.publishAsync("brimful/1/hill/readings", packText({}), { qos: 1 });
  expect(massesG(rig, "hill")).toEqual([7300]);
  expect(broker.counts()).toEqual({ refusedPublishes: 4 });
  expect(heard).not.toContain("elsewhere");
  expect(rig.intake.counts().refusedPacks).toBe(1);
  const late = await connect(broker.url());
  late.on("message", (topic) => heard.push(topic));
  await late.subscribeAsync("#", { qos: 1 });
  expect(heard.filter((topic) => !topic.endsWith("/readings"))).toEqual([]);
});

test("a megabyte is refused by a word and the server lives", async () => {
  const { rig, broker } = await start();
  const client = await connect(broker.url());
  const payload = Buffer.alloc(1_000_000, " ");
  await client.publishAsync("brimful/1/hill/readings", payload, { qos: 1 });
  expect(rig.rejected.listRejected(1)[0]?.reason).toBe(
    "payload requires at most 262144 bytes, got 1000000",
  );
  await client.publishAsync("brimful/1/hill/readings", packText({}), { qos: 1 });
  expect(massesG(rig, "hill")).toEqual([7300]);
});

test("a packet that would fill the memory closes its connection only", async () => {
  const { rig, broker } = await start();
  const flood = await connect(broker.url());
  flood.on("error", () => undefined);
  const gone = new Promise<void>((resolve) => flood.once("close", () => resolve()));
  flood.publish("brimful/1/hill/readings", Buffer.alloc(6_000_000), { qos: 1 }, () => undefined);
  await gone;
  const client = await connect(broker.url());
  await client.publishAsync("brimful/1/hill/readings", packText({}), { qos: 1 });
  expect(massesG(rig, "hill")).toEqual([7300]);
  expect(rig.log.lines.map(({ event }) => event)).toContain("connection closed, packet too long");
});

test("a failed store gives no acknowledgement, and the pack sent again is stored", async () => {
  const { rig, broker } = await start();
  const client = await connect(broker.url());
  client.on("error", () => undefined);
  rig.sqlite.pragma("query_only = ON");
  const gone = new Promise<void>((resolve) => client.once("close", () => resolve()));
  let isAcknowledged = false;
  client.publish("brimful/1/hill/readings", packText({ batch: 1 }), { qos: 1 }, (error) => {
    isAcknowledged = error === undefined || error === null;
  });
  await gone;
  expect(isAcknowledged).toBe(false);
  expect(rig.kept).toEqual([]);
  rig.sqlite.pragma("query_only = OFF");
  const again = await connect(broker.url());
  await again.publishAsync("brimful/1/hill/readings", packText({ batch: 1 }), { qos: 1 });
  expect(massesG(rig, "hill")).toEqual([7300]);
});

test("MQTT 5 is refused by its return code", async () => {
  const { rig, broker } = await start();
  await expect(connectTo(broker.url(), { protocolVersion: 5 })).rejects.toMatchObject({ code: 1 });
  expect(rig.log.lines).toMatchObject([
    { event: "client refused, unknown MQTT version", fields: { protocolVersion: 5 } },
  ]);
});

test("a port in use is one line with the port and the setting", async () => {
  const other = createServer().listen(0, "127.0.0.1");
  await new Promise((resolve) => other.once("listening", resolve));
  closing.push(() => new Promise((resolve) => other.close(resolve)));
  const port = (other.address() as { port: number }).port;
  const starting = startEmbedded(openRig(), { port });
  await expect(starting).rejects.toMatchObject({ code: "port-in-use" });
  await expect(starting).rejects.toThrow(
    `MQTT broker requires a free port, got 127.0.0.1:${port} in use; set BRIMFUL_MQTT_PORT`,
  );
});

async function enrolled() {
  const rig = openRig();
  for (const [name, kind] of [
    ["hill", "board"],
    ["dale", "board"],
    ["kitchen", "reader"],
    ["weather", "forecaster"],
  ] as const) {
    rig.credentials.saveCredential(
      { name, kind, ...(await hashSecret(`${name}-secret`)) },
      startMs,
    );
  }
  return start(rig);
}

const as = (name: string) => ({ username: name, password: `${name}-secret` });

test("with an enrolled board only who has a secret comes in", async () => {
  const { broker, rig } = await enrolled();
  const badPassword = { code: 4 };
  await expect(connectTo(broker.url())).rejects.toMatchObject(badPassword);
  await expect(
    connectTo(broker.url(), { username: "hill", password: "wrong" }),
  ).rejects.toMatchObject(badPassword);
  await expect(
    connectTo(broker.url(), { username: "nobody", password: "hill-secret" }),
  ).rejects.toMatchObject(badPassword);
  await connect(broker.url(), as("hill"));
  rig.credentials.revokeCredential("hill", startMs);
  await expect(connectTo(broker.url(), as("hill"))).rejects.toMatchObject(badPassword);
});

test("a board publishes and reads its own topics and reads alarms, nothing else", async () => {
  const { broker, rig } = await enrolled();
  const hill = await connect(broker.url(), as("hill"));
  await hill.publishAsync("brimful/1/dale/readings", packText({ board: "dale" }), { qos: 1 });
  await hill.publishAsync("brimful/1/forecast", "[]", { qos: 1 });
  await hill.publishAsync("brimful/1/hill/readings", packText({}), { qos: 1 });
  expect(massesG(rig, "dale")).toEqual([]);
  expect(massesG(rig, "hill")).toEqual([7300]);
  expect(broker.counts().refusedPublishes).toBe(2);
  const granted = async (topic: string) =>
    (await hill.subscribeAsync(topic, { qos: 1 }).catch(() => [{ qos: 128 }]))[0]?.qos;
  expect(await granted("brimful/1/hill/#")).toBe(1);
  expect(await granted("brimful/1/alarms/+")).toBe(1);
  for (const topic of ["brimful/1/dale/kept", "#", "brimful/1/+/readings", "$SYS/#"]) {
    expect(await granted(topic), topic).toBe(128);
  }
});

test("a reader reads all and publishes nothing; a forecaster publishes the forecast", async () => {
  const { broker, rig, forecasts } = await enrolled();
  const kitchen = await connect(broker.url(), as("kitchen"));
  const weather = await connect(broker.url(), as("weather"));
  const hill = await connect(broker.url(), as("hill"));
  const hearing = nextOn(kitchen, "brimful/1/hill/readings");
  await kitchen.subscribeAsync("brimful/1/#", { qos: 1 });
  await hill.publishAsync("brimful/1/hill/readings", packText({}), { qos: 1 });
  expect(await hearing).toBe(packText({}));
  await kitchen.publishAsync("brimful/1/hill/readings", packText({ massesKg: [1, 2] }), { qos: 1 });
  expect(massesG(rig, "hill")).toEqual([7300]);
  const outlook = [{ n: "forecast/air", u: "Cel", t: 3600, v: 4 }];
  await weather.publishAsync("brimful/1/forecast", JSON.stringify(outlook), { qos: 1 });
  expect(forecasts).toMatchObject([[{ airC: 4 }]]);
});

test("a board that goes without a word is told of by its last will", async () => {
  const { broker, rig } = await enrolled();
  const topic = "brimful/1/hill/presence";
  const will = {
    topic,
    payload: Buffer.from('{"v":1,"online":false}'),
    qos: 1,
    retain: true,
  } as const;
  const hill = await connect(broker.url(), { ...as("hill"), will });
  await hill.publishAsync(topic, '{"v":1,"online":true}', { qos: 1, retain: true });
  expect(rig.boards.listBoards()).toMatchObject([{ online: true }]);
  const kitchen = await connect(broker.url(), as("kitchen"));
  expect(JSON.parse(await nextOn(kitchen, topic))).toMatchObject({ online: true });
  const hearing = nextOn(kitchen, topic);
  const told: Promise<string> = hearing.then((text) =>
    text.includes("true") ? nextOn(kitchen, topic) : text,
  );
  hill.stream.destroy();
  expect(await told).toContain("false");
  expect(rig.boards.listBoards()).toMatchObject([{ online: false }]);
});
