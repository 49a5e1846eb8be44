// One connection of a board to the broker, from dialling to its end: presence, kept notes, packs.
import { connect, type MqttClient } from "mqtt";
import { alarmTopic, boardTopic, type Kept, keptSchema } from "../shared/wire/topics.ts";

export type LinkEvents = {
  /** Connected, subscribed and present. */
  ready(): void;
  kept(kept: Kept): void;
  /** A message on the board's orders, as it came. */
  order?(text: string): void;
  /** A bucket's alarm note as it came; empty when all is well again. */
  alarm?(bucket: string, text: string): void;
  /** Once, whatever ended it. */
  closed(problem: string): void;
};

export type Link = {
  isReady(): boolean;
  publish(payload: string): void;
  answer(payload: string): void;
  close(): Promise<void>;
};

export type OpenLink = (events: LinkEvents) => Link;

export type LinkSettings = {
  url: string;
  board: string;
  password?: string;
  program: string;
};

/**
 * Each call is a fresh connection: the client's own re-sending is left off, as the publisher
 * sends again by itself from what the server has not kept.
 */
export function createOpenLink(settings: LinkSettings): OpenLink {
  const { board, url, password, program } = settings;
  const topic = {
    readings: boardTopic(board, "readings"),
    presence: boardTopic(board, "presence"),
    kept: boardTopic(board, "kept"),
    orders: boardTopic(board, "orders"),
    answers: boardTopic(board, "answers"),
  };
  const presence = (online: boolean) => JSON.stringify({ v: 1, online, program });
  const retained = { qos: 1, retain: true } as const;
  return (events) => {
    const client = connect(url, {
      clientId: `brimful-${board}-${Math.random().toString(36).slice(2, 8)}`,
      clean: true,
      reconnectPeriod: 0,
      connectTimeout: 10_000,
      keepalive: 30,
      username: board,
      ...(password === undefined ? {} : { password }),
      will: { topic: topic.presence, payload: presence(false), ...retained },
    });
    let ready = false;
    const end = createEnd(client, (problem) => {
      ready = false;
      events.closed(problem);
    });
    client.on("error", (error) => end(problemFrom(error)));
    client.on("close", () => end("the connection was closed"));
    client.on("message", (from, payload) => pass(events, { board, from, payload }));
    client.on("connect", () => {
      client.publish(topic.presence, presence(true), retained, ignore);
      client.subscribe(topic.kept, { qos: 1 }, (error) => {
        if (error) return end(problemFrom(error));
        ready = true;
        events.ready();
      });
      // By themselves: a broker that refuses these must not keep readings from being sent.
      client.subscribe([topic.orders, `${alarms}#`], { qos: 1 }, ignore);
    });
    return {
      isReady: () => ready,
      // What fails is sent again after the next connection.
      publish: (payload) => client.publish(topic.readings, payload, { qos: 1 }, ignore),
      answer: (payload) => client.publish(topic.answers, payload, { qos: 1 }, ignore),
      async close() {
        if (ready) {
          const told = client.publishAsync(topic.presence, presence(false), retained);
          await Promise.race([told.catch(ignore), wait(500)]);
        }
        ready = false;
        // With a farewell, else the broker publishes the last will as well; by force if that hangs.
        await Promise.race([client.endAsync().catch(ignore), wait(500)]);
        await client.endAsync(true).catch(ignore);
      },
    };
  };
}

const alarms = alarmTopic("");

function pass(events: LinkEvents, message: { board: string; from: string; payload: Buffer }): void {
  const { board, from, payload } = message;
  const text = payload.toString("utf8");
  if (from.startsWith(alarms)) events.alarm?.(from.slice(alarms.length), text);
  if (from === boardTopic(board, "orders")) events.order?.(text);
  const kept = from === boardTopic(board, "kept") ? parseKept(text) : undefined;
  if (kept !== undefined) events.kept(kept);
}

function ignore(): void {}

function wait(forMs: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, forMs).unref());
}

/** Ends the client and tells so, the first time it is called. */
function createEnd(client: MqttClient, tell: (problem: string) => void) {
  let ended = false;
  return (problem: string) => {
    if (ended) return;
    ended = true;
    client.end(true);
    tell(problem);
  };
}

function parseKept(text: string): Kept | undefined {
  try {
    const kept = keptSchema.safeParse(JSON.parse(text));
    return kept.success ? kept.data : undefined;
  } catch {
    // Not JSON: whoever sent it, it says nothing about what is kept.
    return undefined;
  }
}

/** The broker's refusals in plain words: CONNACK return codes of MQTT 3.1.1, table 3.1. */
function problemFrom(error: Error & { code?: unknown; errors?: unknown }): string {
  if (error.code === 4 || error.code === 5) {
    return "the broker requires a board name and secret it knows, got others";
  }
  if (error.code === "ECONNREFUSED") return "nothing answers at this address and port";
  if (error.code === "ENOTFOUND") return "no machine of this name is known here";
  if (Array.isArray(error.errors)) return error.errors.map(String).join(", ");
  return error.message === "" ? String(error.code) : error.message;
}
