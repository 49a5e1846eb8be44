// The embedded broker in front of a real store, and real clients for it.
import { connectAsync, type IClientOptions, type MqttClient } from "mqtt";
import { createEmbeddedBroker, type EmbeddedParts } from "../../server/broker/embedded.ts";
import { createInbox } from "../../server/broker/inbox.ts";
import type { ForecastHour } from "../../shared/wire/forecast.ts";
import { boardTopic } from "../../shared/wire/topics.ts";
import { openRig, type Rig } from "./store-rig.ts";

export function inboxOf(rig: Rig) {
  const forecasts: ForecastHour[][] = [];
  const answers: { board: string; payload: string }[] = [];
  const inbox = createInbox({
    ...rig,
    keepForecast: (hours) => forecasts.push(hours),
    onAnswer: (board, payload) => answers.push({ board, payload }),
  });
  return { inbox, forecasts, answers };
}

type More = Partial<Pick<EmbeddedParts, "port" | "allowance" | "connectionLimits">>;

export async function startEmbedded(rig = openRig(), more: More = {}) {
  const { inbox, forecasts, answers } = inboxOf(rig);
  const broker = createEmbeddedBroker({
    ...rig,
    host: "127.0.0.1",
    port: 0,
    ...more,
    inbox,
    keptNotes: () =>
      rig.spools.listLatest().map(({ board, spool, through }) => ({
        board,
        kept: { v: 1, store: rig.storeId, spool, through },
      })),
  });
  rig.onKept((board, kept) => {
    void broker.publish(boardTopic(board, "kept"), JSON.stringify(kept), { retain: true });
  });
  await broker.start();
  return { rig, broker, forecasts, answers };
}

/** A client that gives up at once instead of trying again. */
export function connectTo(url: string, options: IClientOptions = {}): Promise<MqttClient> {
  return connectAsync(url, { reconnectPeriod: 0, connectTimeout: 5000, ...options }, false);
}

/** Resolves to the next payload on a topic; subscribes to it. */
export async function nextOn(client: MqttClient, topic: string): Promise<string> {
  const heard = new Promise<string>((resolve) => {
    const listen = (got: string, payload: Buffer) => {
      if (got !== topic) return;
      client.off("message", listen);
      resolve(payload.toString());
    };
    client.on("message", listen);
  });
  await client.subscribeAsync(topic, { qos: 1 });
  return heard;
}
