// An MQTT broker that is there already: a persistent session, each message acknowledged after its commit.
import { connect, type IClientOptions, type MqttClient } from "mqtt";
import type { Clock } from "../../shared/clock.ts";
import { AppError } from "../../shared/errors.ts";
import {
  boardTopic,
  boardTopicParts,
  forecastTopic,
  type Kept,
  topicPrefix,
} from "../../shared/wire/topics.ts";
import type { Allowance } from "../ingest/allowance.ts";
import { createOnceAMinute, type Log } from "../log.ts";
import type { Broker } from "./broker.ts";
import type { Inbox } from "./inbox.ts";

export type ExternalParts = {
  /** mqtt:// or mqtts://, a user name and password in it where the broker asks for them. */
  url: string;
  /** The same at every start, so that the broker keeps what comes while the server is away. */
  clientId: string;
  inbox: Inbox;
  clock: Clock;
  log: Log;
  /** To let one board wait would be to let all wait: what is too much is left out instead. */
  allowance: Pick<Allowance, "admits">;
  /** Said by the broker in the server's place when it is lost. */
  will?: { topic: string; payload: string } | undefined;
  /** Published again at start: a restored backup has kept less than the broker remembers. */
  keptNotes(): { board: string; kept: Kept }[];
};

const topics = [
  `${topicPrefix}/+/readings`,
  `${topicPrefix}/+/presence`,
  `${topicPrefix}/+/answers`,
  forecastTopic,
];
const reconnectMs = 2000;
/** How long `start` waits: a broker that comes up later is found later. */
const patienceMs = 5000;

export function createExternalBroker(parts: ExternalParts): Broker {
  let client: MqttClient | undefined;
  const listeners = new Set<() => void>();
  const publish: Broker["publish"] = async (topic, payload, { retain }) => {
    if (client === undefined) {
      throw new AppError("network", "publishing requires a started broker, got a stopped one");
    }
    await client.publishAsync(topic, payload, { qos: 1, retain });
  };
  return {
    async start() {
      client = open(parts);
      client.on("connect", () => {
        for (const listener of listeners) listener();
      });
      for (const { board, kept } of parts.keptNotes()) {
        // Sent once there is a connection; nobody waits for it.
        publish(boardTopic(board, "kept"), JSON.stringify(kept), { retain: true }).catch(() => {});
      }
      await ready(client, parts);
    },
    async stop() {
      const closing = client;
      client = undefined;
      await closing?.endAsync(!closing.connected);
    },
    publish,
    onConnected: (listener) => {
      listeners.add(listener);
    },
    // Who may connect there is that broker's own business.
    endRevoked: () => undefined,
    url: () => withoutPassword(parts.url),
  };
}

function open({ url, clientId, inbox, clock, log, allowance, will }: ExternalParts): MqttClient {
  const options: IClientOptions = {
    clientId,
    clean: false,
    reconnectPeriod: reconnectMs,
    ...(will === undefined
      ? {}
      : { will: { ...will, payload: Buffer.from(will.payload), qos: 1 as const, retain: true } }),
  };
  const client = connect(url, options);
  const onceAMinute = createOnceAMinute(clock);
  client.handleMessage = ({ topic, payload }, done) => {
    const name = boardTopicParts(topic)?.board ?? topic;
    if (!allowance.admits(name, payload.length)) {
      onceAMinute(`left out ${name}`, (unwritten) => {
        log.warn("left out, it sends too much", { name, unwritten });
      });
      // Acknowledged unread: a board sends again what it never hears to be kept.
      done();
      return;
    }
    const bytes = typeof payload === "string" ? Buffer.from(payload) : payload;
    inbox({ topic, payload: bytes, source: "mqtt" }).then(
      () => done(),
      // Never acknowledged: the broker sends it again on the next connection.
      () => client.stream.destroy(),
    );
  };
  client.on("connect", () => {
    log.info("broker connected", { url: withoutPassword(url) });
    client.subscribeAsync(topics, { qos: 1 }).catch((error: unknown) => {
      log.warn("broker refused a subscription", { problem: String(error) });
    });
  });
  client.on("error", (error) => {
    onceAMinute(error.message, (unwritten) => {
      log.warn("broker not reached", {
        url: withoutPassword(url),
        problem: error.message,
        unwritten,
      });
    });
  });
  return client;
}

/** Resolves once the broker has granted the topics, or with a warning when that takes too long. */
async function ready(client: MqttClient, { url, log }: ExternalParts): Promise<void> {
  let timer: NodeJS.Timeout | undefined;
  const granted = new Promise<true>((resolve) => {
    client.on("packetreceive", ({ cmd }) => {
      if (cmd === "suback") resolve(true);
    });
  });
  const late = new Promise<false>((resolve) => {
    timer = setTimeout(() => resolve(false), patienceMs);
  });
  const isReady = await Promise.race([granted, late]);
  clearTimeout(timer);
  if (!isReady) log.warn("broker not reached yet, trying on", { url: withoutPassword(url) });
}

function withoutPassword(url: string): string {
  return url.replace(/\/\/[^@/]*@/, "//");
}
