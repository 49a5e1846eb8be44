// The board program's log: one JSON line an event, written wherever main.ts says.
import type { Clock } from "../shared/clock.ts";

export const logLevels = ["debug", "info", "warn", "error", "silent"] as const;
export type LogLevel = (typeof logLevels)[number];

type Fields = Record<string, unknown>;

export type Log = Record<
  "debug" | "info" | "warn" | "error",
  (event: string, fields?: Fields) => void
>;

export function createLog(settings: {
  level: LogLevel;
  clock: Pick<Clock, "nowMs">;
  write: (line: string) => void;
}): Log {
  const least = logLevels.indexOf(settings.level);
  const at =
    (level: LogLevel) =>
    (event: string, fields: Fields = {}) => {
      if (logLevels.indexOf(level) < least) return;
      const time = new Date(settings.clock.nowMs()).toISOString();
      settings.write(`${JSON.stringify({ time, level, event, ...fields })}\n`);
    };
  return { debug: at("debug"), info: at("info"), warn: at("warn"), error: at("error") };
}
