// The yard by the Homie convention (homieiot.github.io, 5.0): described, told, described anew, and its good-bye.
import { once } from "node:events";
import { mkdtempSync, rmSync } from "node:fs";
import { createServer, type Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Aedes } from "aedes";
import mqtt, { type MqttClient } from "mqtt";
import { afterEach, beforeEach, expect, it } from "vitest";
import { type App, createApp } from "../../../server/app.ts";
import { createBackUp } from "../../../server/care/backup-program.ts";
import { parseConfig } from "../../../server/config.ts";
import type { HomieDescription } from "../../../server/homie/description.ts";
import { createTestClock, createTestLog } from "../../helpers/store-rig.ts";

let folder: string;
let app: App | undefined;
let listener: MqttClient | undefined;
const ends: (() => Promise<unknown>)[] = [];

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "brimful-homie-"));
});

afterEach(async () => {
  await listener?.endAsync();
  await app?.stop();
  app = undefined;
  for (const end of ends.splice(0)) await end();
  rmSync(folder, { recursive: true });
});

async function startApp(more: Record<string, string>): Promise<App> {
  const config = parseConfig({
    BRIMFUL_DATA: folder,
    BRIMFUL_HTTP_PORT: "0",
    BRIMFUL_MQTT_PORT: "0",
    ...more,
  });
  if (!config.ok) throw new Error(config.problem);
  const rest = { clock: createTestClock(), log: createTestLog(), version: "0.0.0" };
  const backUp = createBackUp([]);
  const started = createApp({ config: config.value, webFolder: folder, backUp, ...rest });
  await started.start();
  app = started;
  return started;
}

/** All that is and was published under homie/5, newest payload by topic, and every state in turn. */
async function listen(url: string) {
  listener = await mqtt.connectAsync(url);
  const heard = new Map<string, string>();
  const states: string[] = [];
  listener.on("message", (topic, payload) => {
    const [, , , ...rest] = topic.split("/");
    heard.set(rest.join("/"), payload.toString());
    if (rest[0] === "$state") states.push(payload.toString());
  });
  await listener.subscribeAsync("homie/5/+/#", { qos: 1 });
  const description = () =>
    JSON.parse(heard.get("$description") ?? '{"nodes":{},"version":0}') as HomieDescription;
  return { heard, states, description };
}

async function call(method: string, path: string, body: unknown): Promise<void> {
  const answer = await fetch(`${app?.httpUrl()}/api/v1/${path}`, {
    method,
    headers: { "content-type": "application/json" },
    body: JSON.stringify(body),
  });
  if (!answer.ok) throw new Error(await answer.text());
}

const gate = { label: "Gate", cell: "hill/cell-1", capacityL: 10, emptyKg: 0.8 };

it("says nothing unless it is switched on", async () => {
  const started = await startApp({});
  const { heard } = await listen(started.mqttUrl());
  await call("POST", "buckets", gate);
  await listener?.publishAsync("brimful/1/hill/presence", '{"v":1,"online":true}');
  expect([...heard.keys()]).toEqual([]);
});

it("describes every bucket, tells what is known, and describes anew when a bucket comes or goes", async () => {
  const started = await startApp({ BRIMFUL_HOMIE: "on" });
  const { heard, states, description } = await listen(started.mqttUrl());
  await expect.poll(() => states.at(-1)).toBe("ready");
  const first = description();
  expect(first).toMatchObject({ homie: "5.0", nodes: { "yard--all": { type: "yard" } } });
  await call("POST", "buckets", gate);
  await expect.poll(() => description().nodes["gate"]?.name, { timeout: 8000 }).toBe("Gate");
  await expect.poll(() => heard.get("gate/state")).toBe("unheard");
  await expect.poll(() => states.slice(-2)).toEqual(["init", "ready"]);
  expect(description().version).toBeGreaterThan(first.version);
  const { volume, state } = description().nodes["gate"]?.properties ?? {};
  expect(volume).toMatchObject({ datatype: "float", unit: "L" });
  expect(state?.format?.split(",")).toContain("unheard");
  expect(heard.get("gate/alarm-brim")).toBe("false");
  // Nothing weighed yet: no payload at all, rather than a false figure.
  expect(heard.get("gate/volume") ?? "").toBe("");
  await call("DELETE", "buckets/gate", {}).catch(() => undefined);
  await expect.poll(() => description().nodes["gate"], { timeout: 8000 }).toBeUndefined();
  await expect.poll(() => heard.get("gate/state")).toBe("");
});

it("says good-bye to a broker of one's own, which says it is lost when it is cut off", async () => {
  const aedes = await Aedes.createBroker();
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    aedes.handle(socket);
  }).listen(0, "127.0.0.1");
  await once(server, "listening");
  ends.push(() => new Promise<void>((done) => aedes.close(() => server.close(() => done()))));
  const { port } = server.address() as { port: number };
  const url = `mqtt://127.0.0.1:${port}`;
  const started = await startApp({ BRIMFUL_HOMIE: "on", BRIMFUL_MQTT_URL: url });
  const own = [...sockets];
  const { states } = await listen(url);
  await expect.poll(() => states.at(-1)).toBe("ready");
  for (const socket of own) socket.destroy();
  await expect.poll(() => states).toContain("lost");
  await expect.poll(() => states.at(-1), { timeout: 8000 }).toBe("ready");
  await started.stop();
  app = undefined;
  await expect.poll(() => states.at(-1)).toBe("disconnected");
});
