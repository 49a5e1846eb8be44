// The broker inside the server: it acknowledges a pack only after its commit.
import { createServer, type Server, type Socket } from "node:net";
import { setTimeout as delay } from "node:timers/promises";
import { createServer as createTlsServer } from "node:tls";
import { Aedes, type Client, type PublishPacket } from "aedes";
import type { Clock } from "../../shared/clock.ts";
import { AppError } from "../../shared/errors.ts";
import { mostPackBytes } from "../../shared/wire/pack.ts";
import { boardTopic, boardTopicParts, forecastTopic, type Kept } from "../../shared/wire/topics.ts";
import type { Credentials } from "../db/credentials.ts";
import type { Allowance } from "../ingest/allowance.ts";
import { type ConnectionLimits, limitConnections } from "../limit-connections.ts";
import { createOnceAMinute, type Log, type OnceAMinute } from "../log.ts";
import type { Tls } from "../tls.ts";
import { createAuthenticate, type Identities, isStillGood } from "./authenticate.ts";
import type { Broker, BrokerCounts } from "./broker.ts";
import type { Inbox } from "./inbox.ts";
import { limitPackets } from "./limit-packets.ts";
import { maySubscribe, publishProblem } from "./rights.ts";

export type EmbeddedParts = {
  host: string;
  /** 0 picks a free one. */
  port: number;
  /** The certificate it shows, if any. */
  tls?: Tls | undefined;
  credentials: Credentials;
  inbox: Inbox;
  clock: Clock;
  log: Log;
  /** What each board may send; whoever sends more waits. */
  allowance?: Pick<Allowance, "take">;
  connectionLimits?: ConnectionLimits;
  /** What boards are to find when they connect: published again at each start. */
  keptNotes(): { board: string; kept: Kept }[];
};

type Inside = EmbeddedParts & {
  identities: Identities;
  counts: BrokerCounts;
  onceAMinute: OnceAMinute;
};

/** Twice as many as there may be boards; from one address as many as there may be. */
const usualLimits: ConnectionLimits = { most: 1000, mostFromOne: 500 };

export function createEmbeddedBroker(parts: EmbeddedParts): Broker & { counts(): BrokerCounts } {
  const counts: BrokerCounts = { refusedPublishes: 0 };
  const inside: Inside = {
    ...parts,
    identities: new Map(),
    counts,
    onceAMinute: createOnceAMinute(parts.clock),
  };
  let aedes: Aedes | undefined;
  let server: Server | undefined;
  const scheme = parts.tls === undefined ? "mqtt" : "mqtts";
  let url = `${scheme}://${parts.host}:${parts.port}`;
  const publish: Broker["publish"] = (topic, payload, { retain }) =>
    publishTo(aedes, { cmd: "publish", topic, payload, retain, qos: 1, dup: false });

  return {
    async start() {
      aedes = await openAedes(inside);
      server = createListener(parts.tls, (socket) => {
        socket.setNoDelay(true);
        limitPackets(socket, () => tellTooLong(inside, socket.remoteAddress));
        aedes?.handle(socket);
      });
      limitConnections(server, parts.connectionLimits ?? usualLimits, (address) =>
        tellTooMany(inside, address),
      );
      for (const { board, kept } of parts.keptNotes()) {
        await publish(boardTopic(board, "kept"), JSON.stringify(kept), { retain: true });
      }
      url = `${scheme}://${parts.host}:${await listen(server, parts)}`;
    },
    async stop() {
      const [closing, listening] = [aedes, server];
      aedes = undefined;
      server = undefined;
      if (listening !== undefined) listening.close();
      if (closing !== undefined) await new Promise<void>((resolve) => closing.close(resolve));
    },
    publish,
    onConnected: () => undefined,
    endRevoked: () => endRevoked(inside),
    url: () => url,
    counts: () => ({ ...counts }),
  };
}

function createListener(tls: Tls | undefined, take: (socket: Socket) => void): Server {
  return tls === undefined ? createServer(take) : createTlsServer(tls, take);
}

function endRevoked({ identities, credentials, log }: Inside): void {
  for (const [client, identity] of identities) {
    if (isStillGood(credentials, identity)) continue;
    identities.delete(client);
    log.info("connection ended, no longer enrolled", { name: identity.name });
    client.close();
  }
}

function openAedes(inside: Inside): Promise<Aedes> {
  return Aedes.createBroker({
    preConnect: (_client, packet, callback) => {
      const { protocolVersion = 4 } = packet;
      if (protocolVersion > 4) tellVersion(inside, protocolVersion);
      // No queue is kept for who is away: it would grow without bound, and whoever came next with
      // that client id would get it. Boards keep their own outbox.
      packet.clean = true;
      // The broker itself answers with the return code "unacceptable protocol version".
      callback(null, true);
    },
    authenticate: createAuthenticate(inside),
    authorizePublish: (client, packet, callback) => {
      authorizePublish(inside, { client, packet }).then(
        () => callback(null),
        (error: unknown) => callback(error instanceof Error ? error : new Error(String(error))),
      );
    },
    authorizeSubscribe: (client, subscription, callback) => {
      const identity = inside.identities.get(client);
      const isAllowed = identity !== undefined && maySubscribe(identity, subscription.topic);
      callback(null, isAllowed ? subscription : null);
    },
  });
}

/**
 * Runs before the acknowledgement. Stores what is to be stored; what is forbidden is emptied and
 * sent where nobody listens, as an error here would close the connection and the client would send
 * it again for ever. Only a failed store rejects.
 */
async function authorizePublish(
  inside: Inside,
  { client, packet }: { client: Client | null; packet: PublishPacket },
): Promise<void> {
  if (client === null) return;
  const identity = inside.identities.get(client);
  const problem =
    identity === undefined
      ? "publishing requires a known client, got none"
      : publishProblem(identity, packet.topic);
  const board = boardTopicParts(packet.topic)?.board;
  const speaker = problem === undefined && board !== undefined ? board : identity?.name;
  await slowDown(inside, { speaker: speaker ?? "", bytes: packet.payload.length });
  if (problem !== undefined) {
    drop(inside, packet);
    inside.onceAMinute(`publish ${client.id.slice(0, 80)}`, (unwritten) => {
      inside.log.warn("publish refused", { client: client.id.slice(0, 80), problem, unwritten });
    });
    return;
  }
  const { topic, payload } = packet;
  packet.retain &&= mayRetain(topic, payload);
  await inside.inbox({
    topic,
    payload: bytesOf(payload),
    source: `mqtt ${client.id.slice(0, 80)}`,
  });
}

/** As a client's next packets are read only after these, it hears of it by its own sending. */
async function slowDown(
  { allowance, log, onceAMinute }: Inside,
  { speaker, bytes }: { speaker: string; bytes: number },
): Promise<void> {
  const waitMs = allowance?.take(speaker, bytes) ?? 0;
  if (waitMs === 0) return;
  onceAMinute(`slowed ${speaker}`, (unwritten) => {
    log.warn("slowed down, it sends too much", { name: speaker, unwritten });
  });
  await delay(waitMs, undefined, { ref: false });
}

const mostPresenceBytes = 1024;

/** What is retained stays in memory and goes to every subscriber: only what is short enough to be true. */
function mayRetain(topic: string, payload: string | Buffer): boolean {
  if (topic.endsWith("/presence")) return payload.length <= mostPresenceBytes;
  return topic === forecastTopic && payload.length <= mostPackBytes;
}

function drop(inside: Inside, packet: PublishPacket): void {
  inside.counts.refusedPublishes += 1;
  packet.topic = "$SYS/refused";
  packet.payload = Buffer.alloc(0);
  packet.retain = false;
}

function bytesOf(payload: string | Buffer): Buffer {
  return typeof payload === "string" ? Buffer.from(payload) : payload;
}

function tellVersion({ log, onceAMinute }: Inside, protocolVersion: number): void {
  onceAMinute("version", (unwritten) => {
    const mend = "use MQTT 3.1.1, or a broker of your own through BRIMFUL_MQTT_URL";
    log.warn("client refused, unknown MQTT version", { protocolVersion, mend, unwritten });
  });
}

function tellTooMany(inside: Inside, address: string): void {
  inside.onceAMinute(`too many ${address}`, (unwritten) => {
    inside.log.warn("connection refused, too many are open", { address, unwritten });
  });
}

function tellTooLong(inside: Inside, address: string | undefined): void {
  inside.counts.refusedPublishes += 1;
  inside.onceAMinute(`too long ${address}`, (unwritten) => {
    inside.log.warn("connection closed, packet too long", { address, unwritten });
  });
}

function publishTo(aedes: Aedes | undefined, packet: PublishPacket): Promise<void> {
  return new Promise((resolve, reject) => {
    if (aedes === undefined) {
      reject(new AppError("network", "publishing requires a started broker, got a stopped one"));
      return;
    }
    aedes.publish(packet, (error) => (error ? reject(error) : resolve()));
  });
}

/** Resolves to the port. */
function listen(server: Server, { host, port }: EmbeddedParts): Promise<number> {
  return new Promise((resolve, reject) => {
    server.once("error", (cause: NodeJS.ErrnoException) => reject(listenError(cause, host, port)));
    server.listen(port, host, () => {
      const address = server.address();
      resolve(typeof address === "object" && address !== null ? address.port : port);
    });
  });
}

function listenError(cause: NodeJS.ErrnoException, host: string, port: number): AppError {
  if (cause.code === "EADDRINUSE") {
    const mend = "set BRIMFUL_MQTT_PORT to another port, or BRIMFUL_MQTT_URL to use that broker";
    const message = `MQTT broker requires a free port, got ${host}:${port} in use; ${mend}`;
    return new AppError("port-in-use", message, { cause });
  }
  const message = `MQTT broker requires an address of this machine and a port it may open, got ${host}:${port} (${cause.code})`;
  return new AppError("network", message, { cause });
}
