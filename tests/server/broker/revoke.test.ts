// Tests that who is revoked is out at once, and that nobody can end somebody else's connection.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { MqttClient } from "mqtt";
import { afterEach, expect, test } from "vitest";
import { createChangeWatch } from "../../../server/db/changed-elsewhere.ts";
import { createCredentials } from "../../../server/db/credentials.ts";
import { openStore } from "../../../server/db/open.ts";
import { hashSecret } from "../../../server/secrets.ts";
import { connectTo, startEmbedded } from "../../helpers/mqtt-rig.ts";
import { openRig, packText, startMs } from "../../helpers/store-rig.ts";

const closing: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

async function start(folder?: string) {
  const started = await startEmbedded(openRig(folder));
  closing.push(() => started.broker.stop());
  return started;
}

async function connect(url: string, name?: string, clientId = `${name}-client`) {
  const login = name === undefined ? {} : { username: name, password: `${name}-secret` };
  const client = await connectTo(url, { ...login, clientId });
  client.on("error", () => undefined);
  closing.push(() => client.endAsync(true));
  return client;
}

type Credentials = ReturnType<typeof createCredentials>;
async function enrol(credentials: Credentials, name: string, secret = `${name}-secret`) {
  const kind = name === "kitchen" ? "reader" : name === "weather" ? "forecaster" : "board";
  credentials.saveCredential({ name, kind, ...(await hashSecret(secret)) }, startMs);
}

const closed = (client: MqttClient) =>
  new Promise<void>((resolve) => client.once("close", () => resolve()));
const isAlive = async (client: MqttClient) => {
  const answer = await client.publishAsync("brimful/1/none/readings", "[]", { qos: 1 });
  return answer !== undefined && client.connected;
};

test("a board, a reader and a forecaster that are revoked are out at once, the others stay", async () => {
  const { broker, rig } = await start();
  const names = ["hill", "dale", "kitchen", "weather"];
  for (const name of names) await enrol(rig.credentials, name);
  const clients = new Map<string, MqttClient>();
  for (const name of names) clients.set(name, await connect(broker.url(), name));
  for (const name of ["hill", "kitchen", "weather"]) {
    const gone = closed(clients.get(name)!);
    rig.credentials.revokeCredential(name, startMs);
    broker.endRevoked();
    await gone;
    expect(await isAlive(clients.get("dale")!), name).toBe(true);
  }
});

test("a new secret ends the connection made with the old one, and the first board all that came without", async () => {
  const { broker, rig } = await start();
  const stranger = await connect(broker.url());
  await enrol(rig.credentials, "hill");
  const strangerGone = closed(stranger);
  broker.endRevoked();
  await strangerGone;
  const hill = await connect(broker.url(), "hill");
  broker.endRevoked();
  expect(await isAlive(hill)).toBe(true);
  const hillGone = closed(hill);
  await enrol(rig.credentials, "hill", "another");
  broker.endRevoked();
  await hillGone;
});

test("another program's revoking is noticed while the board is connected", async () => {
  const folder = mkdtempSync(join(tmpdir(), "brimful-revoke-"));
  closing.push(() => rmSync(folder, { recursive: true }));
  const { broker, rig } = await start(folder);
  closing.push(() => rig.sqlite.close());
  await enrol(rig.credentials, "hill");
  let noticed = 0;
  const watch = createChangeWatch(rig.sqlite, () => {
    noticed += 1;
    broker.endRevoked();
  });
  watch.start();
  closing.push(() => watch.stop());
  const hill = await connect(broker.url(), "hill");
  await hill.publishAsync("brimful/1/hill/readings", packText({}), { qos: 1 });
  const gone = closed(hill);
  const command = openStore(folder);
  createCredentials(command).revokeCredential("hill", startMs);
  command.close();
  await gone;
  expect(noticed).toBe(1);
});

test("with its client id nobody ends another's connection; a board ends its own old one", async () => {
  const { broker, rig } = await start();
  for (const name of ["hill", "dale"]) await enrol(rig.credentials, name);
  const hill = await connect(broker.url(), "hill", "same");
  const dale = await connect(broker.url(), "dale", "same");
  expect(await isAlive(hill)).toBe(true);
  expect(await isAlive(dale)).toBe(true);
  const gone = closed(hill);
  const again = await connect(broker.url(), "hill", "same");
  await gone;
  expect(await isAlive(again)).toBe(true);
  expect(await isAlive(dale)).toBe(true);
});
