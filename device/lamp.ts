// The lamp (or active buzzer) at the kitchen window: it follows the alarms of all buckets.
import { alarmNoteSchema } from "../shared/wire/topics.ts";
import type { Lamp, LampState } from "./link/pins.ts";

/** What can't wait makes it blink: sap is being lost, or spoils. */
const urgentKinds = new Set(["brim", "brimful", "sour", "frozen"]);

export type AlarmLamp = {
  /** A bucket's note as it came; an empty one, when all is well again. */
  hear(bucket: string, text: string): void;
  /** Asked for by a person; the next change of alarms takes over again. */
  show(state: LampState): void;
  /** Blinks for some seconds, then shows again what it did. */
  identify(forMs: number): void;
  stop(): void;
};

export function createAlarmLamp(lamp: Lamp): AlarmLamp {
  const kindsOf = new Map<string, readonly string[]>();
  let state: LampState = "off";
  let identifying: NodeJS.Timeout | undefined;
  const show = (wanted: LampState): void => {
    state = wanted;
    if (identifying === undefined) lamp.show(wanted);
  };
  const stop = (): void => {
    clearTimeout(identifying);
    identifying = undefined;
  };
  return {
    hear(bucket, text) {
      const kinds = kindsFrom(text);
      if (kinds === undefined) return;
      if (kinds.length === 0) kindsOf.delete(bucket);
      else kindsOf.set(bucket, kinds);
      show(lampStateFrom([...kindsOf.values()].flat()));
    },
    show,
    identify(forMs) {
      stop();
      lamp.show("blinking");
      identifying = setTimeout(() => {
        identifying = undefined;
        lamp.show(state);
      }, forMs);
    },
    stop,
  };
}

/** Off without alarms, blinking for what can't wait, else on. */
export function lampStateFrom(kinds: readonly string[]): LampState {
  if (kinds.some((kind) => urgentKinds.has(kind))) return "blinking";
  return kinds.length > 0 ? "on" : "off";
}

/** Undefined for what isn't a note: it says nothing. */
function kindsFrom(text: string): readonly string[] | undefined {
  if (text === "") return [];
  try {
    const note = alarmNoteSchema.safeParse(JSON.parse(text));
    return note.success ? note.data.kinds : undefined;
  } catch {
    return undefined;
  }
}
