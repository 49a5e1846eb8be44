// Floods a server program with all that one who means harm has: messages, names, huge packs, connections, half requests.
import { once } from "node:events";
import { connect, type Socket } from "node:net";
import { setTimeout as delay } from "node:timers/promises";
import { connectAsync, type MqttClient } from "mqtt";
import { boardTopic } from "../../shared/wire/topics.ts";
import { residentMb } from "./stage.ts";

export type Flooded = { pid: number | undefined; httpUrl: string; mqttUrl: string };

export type FloodSize = {
  /** So many at most, of one board, as fast as it is acknowledged. */
  messages: number;
  cells: number;
  names: number;
  hugePacks: number;
  connections: number;
  halfRequests: number;
  /** From the last of it until memory is looked at again. */
  restMs: number;
};

export type FloodFigures = {
  beforeMb: number;
  highestMb: number;
  afterMb: number;
  /** Messages of the board that floods, acknowledged. */
  messages: number;
  /** What another board waited for its acknowledgements meanwhile, in ms, and how many it sent. */
  calmWaitsMs: number[];
  calmSent: number;
};

const window = 200;
const hugeBytes = 3_000_000;

export async function flood(server: Flooded, size: FloodSize): Promise<FloodFigures> {
  await delay(1000);
  const beforeMb = residentMb(server.pid);
  let highestMb = beforeMb;
  const looking = setInterval(() => {
    highestMb = Math.max(highestMb, residentMb(server.pid));
  }, 200);
  const calm = await startCalm(server.mqttUrl);
  const messages = await sendMessages(server.mqttUrl, size);
  await sendNames(server.mqttUrl, size.names);
  await sendHuge(server.mqttUrl, size.hugePacks);
  const held = [
    ...(await openMany(server.mqttUrl, { count: size.connections, text: "" })),
    ...(await openMany(server.httpUrl, { count: size.halfRequests, text: "GET / HTTP/1.1\r\nHo" })),
  ];
  await delay(1000);
  const told = await calm.stop();
  for (const socket of held) socket.destroy();
  await delay(size.restMs);
  clearInterval(looking);
  return { beforeMb, highestMb, afterMb: residentMb(server.pid), messages, ...told };
}

function packOf(board: string, batch: number, cells: number): string {
  const head = { bn: `${board}/`, bt: 1_772_000_000 + batch, n: "batch", u: "count", v: batch };
  const masses = Array.from({ length: cells }, (_, cell) => ({
    n: `cell-${cell + 1}/mass`,
    u: "kg",
    v: 2 + (batch % 100) / 1000,
  }));
  return JSON.stringify([head, { n: "spool", vs: "flood" }, ...masses]);
}

function send(client: MqttClient, board: string, pack: string): Promise<unknown> {
  return client.publishAsync(boardTopic(board, "readings"), pack, { qos: 1 });
}

/** A board that sends little, and notes how long each acknowledgement took. */
async function startCalm(url: string) {
  const client = await connectAsync(url);
  const calmWaitsMs: number[] = [];
  let stopped = false;
  const sending = (async () => {
    for (let batch = 1; !stopped; batch += 1) {
      const sentMs = performance.now();
      await send(client, "calm", packOf("calm", batch, 1));
      calmWaitsMs.push(performance.now() - sentMs);
      await delay(50);
    }
  })();
  return {
    async stop() {
      stopped = true;
      await sending;
      await client.endAsync();
      return { calmWaitsMs, calmSent: calmWaitsMs.length };
    },
  };
}

const lookMs = 5000;

/** Until all are acknowledged or it is slowed down; resolves to how many were. */
async function sendMessages(
  url: string,
  { messages, cells }: Pick<FloodSize, "messages" | "cells">,
): Promise<number> {
  const client = await connectAsync(url);
  let batch = 0;
  let acknowledged = 0;
  const sending = Array.from({ length: window }, async () => {
    while (batch < messages) {
      batch += 1;
      await send(client, "flood", packOf("flood", batch, cells));
      acknowledged += 1;
    }
  });
  const all = Promise.allSettled(sending);
  // Whoever is slowed down is not waited for.
  for (let seen = -window; acknowledged - seen >= window; ) {
    seen = acknowledged;
    await Promise.race([all, delay(lookMs)]);
    if (acknowledged === messages) break;
  }
  client.end(true);
  return acknowledged;
}

async function sendNames(url: string, names: number): Promise<void> {
  const client = await connectAsync(url);
  const presence = JSON.stringify({ v: 1, online: true, program: "x".repeat(60) });
  for (let name = 0; name < names; name += 1) {
    const topic = boardTopic(`name-${name}`, "presence");
    await client.publishAsync(topic, presence, { qos: 1, retain: true });
  }
  await client.endAsync();
}

async function sendHuge(url: string, packs: number): Promise<void> {
  const client = await connectAsync(url);
  const text = `[${'{"n":"x","v":1},'.repeat(hugeBytes / 16)}{}]`;
  for (let pack = 0; pack < packs; pack += 1) {
    await client.publishAsync(boardTopic("huge", "readings"), text, { qos: 1 });
  }
  await client.endAsync();
}

async function openMany(url: string, { count, text }: { count: number; text: string }) {
  const { hostname, port } = new URL(url);
  const sockets: Socket[] = [];
  for (let opened = 0; opened < count; opened += 1) {
    const socket = connect(Number(port), hostname).on("error", () => undefined);
    await once(socket, "connect");
    socket.write(text);
    sockets.push(socket);
  }
  return sockets;
}
