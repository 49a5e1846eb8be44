// Publishes the yard by the Homie convention, so that home automation finds the buckets by itself.
import type { Clock } from "../../shared/clock.ts";
import type { Broker } from "../broker/broker.ts";
import type { Log } from "../log.ts";
import type { Watch } from "../watch/watch.ts";
import { describeYard, homieValues } from "./description.ts";

export type HomieParts = {
  broker: Pick<Broker, "publish" | "onConnected">;
  watch: Pick<Watch, "yardView" | "onChange">;
  clock: Clock;
  log: Log;
  deviceId: string;
};

export type Homie = { start(): void; stop(): Promise<void> };

/** At most so often, in real time: nobody's lamp needs more. */
const everyMs = 2000;

type Inside = HomieParts & {
  /** What the broker was given last, by topic below the device. */
  told: Map<string, string>;
  version: number;
  timer: NodeJS.Timeout | undefined;
  /** What is on its way, in order. */
  sending: Promise<void>;
};

export function homieDeviceId(storeId: string): string {
  return `brimful-${storeId.slice(0, 8)}`;
}

export function homieStateTopic(deviceId: string): string {
  return `homie/5/${deviceId}/$state`;
}

export function createHomie(parts: HomieParts): Homie {
  const inside: Inside = {
    ...parts,
    told: new Map(),
    version: 0,
    timer: undefined,
    sending: Promise.resolve(),
  };
  let stopListening: (() => void) | undefined;
  const tellSoon = () => {
    inside.timer ??= setTimeout(() => {
      inside.timer = undefined;
      tell(inside);
    }, everyMs);
  };
  return {
    start(): void {
      stopListening = parts.watch.onChange(tellSoon);
      // A broker that lost the server has said so in its place, and may have forgotten the rest.
      parts.broker.onConnected(() => {
        inside.told.clear();
        tell(inside);
      });
      tell(inside);
    },
    /** Says good-bye; what is retained stays as it was known last. */
    async stop(): Promise<void> {
      stopListening?.();
      clearTimeout(inside.timer);
      inside.timer = undefined;
      send(inside, "$state", "disconnected");
      await inside.sending;
    },
  };
}

function tell(inside: Inside): void {
  const view = inside.watch.yardView();
  const values = homieValues(view);
  const described = JSON.stringify(describeYard(view, inside.version));
  const isNew = described !== inside.told.get("$description");
  if (isNew) {
    inside.version = Math.max(inside.version + 1, Math.round(inside.clock.nowMs()));
    // A description may change in the state init alone.
    send(inside, "$state", "init");
    forgetGone(inside, values);
    send(inside, "$description", JSON.stringify(describeYard(view, inside.version)));
  }
  for (const [topic, value] of values) send(inside, topic, value);
  if (isNew) send(inside, "$state", "ready");
}

function forgetGone(inside: Inside, values: ReadonlyMap<string, string>): void {
  for (const topic of inside.told.keys()) {
    if (!topic.startsWith("$") && !values.has(topic)) {
      send(inside, topic, "");
      inside.told.delete(topic);
    }
  }
}

/** Only what changed goes out, in its order. */
function send(inside: Inside, topic: string, payload: string): void {
  const { broker, deviceId, told, log } = inside;
  if (told.get(topic) === payload) return;
  told.set(topic, payload);
  inside.sending = inside.sending
    .then(() => broker.publish(`homie/5/${deviceId}/${topic}`, payload, { retain: true }))
    .catch((error: unknown) => log.warn("homie message not published", { problem: String(error) }));
}
