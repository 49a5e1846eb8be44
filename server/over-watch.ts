// What is made of the watch for others: the words of the evening, and the yard for home automation.
import type { Clock } from "../shared/clock.ts";
import { eveningWords } from "../shared/people/evening-words.ts";
import type { Broker } from "./broker/broker.ts";
import type { Config } from "./config.ts";
import type { Stores } from "./db/stores.ts";
import { createHomie, type Homie, homieDeviceId, homieStateTopic } from "./homie/homie.ts";
import type { Log } from "./log.ts";
import { createEvening, type Evening } from "./notify/evening.ts";
import type { Watch } from "./watch/watch.ts";

type Parts = { config: Config; clock: Clock; log: Log; stores: Stores; watch: Watch };

/** The yard's zone: as configured, else as set in the page. */
export const zoneOf =
  (config: Config, { people }: Stores) =>
  () =>
    config.timeZone ?? people.yard().timeZone ?? "UTC";

export function createEveningOver({ config, clock, log, stores, watch }: Parts): Evening {
  return createEvening({
    people: stores.noticePeople,
    words: () => eveningWords(watch.yardView(), stores.people.yard().units),
    timeZone: zoneOf(config, stores),
    clock,
    log,
  });
}

/** Undefined while it is switched off. */
export function createHomieOver(parts: Parts & { broker: Broker }): Homie | undefined {
  if (!parts.config.homie) return undefined;
  return createHomie({ ...parts, deviceId: homieDeviceId(parts.stores.storeId) });
}

/** What a broker of one's own is to say when the server is lost; undefined while it is switched off. */
export function homieWill({ config, stores }: Pick<Parts, "config" | "stores">) {
  if (!config.homie) return undefined;
  return { topic: homieStateTopic(homieDeviceId(stores.storeId)), payload: "lost" };
}
