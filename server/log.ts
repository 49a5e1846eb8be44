// Writes one JSON line per event to the standard output; the event is a fixed phrase, details are fields.
import { type DestinationStream, pino, stdTimeFunctions } from "pino";
import type { Clock } from "../shared/clock.ts";
import { msPerMinute } from "../shared/units.ts";

export const logLevels = ["debug", "info", "warn", "error", "silent"] as const;
export type LogLevel = (typeof logLevels)[number];

export type LogFields = Record<string, unknown>;
/** info = a state changed, warn = needs a look, error = something was lost. */
export type Log = {
  debug(event: string, fields?: LogFields): void;
  info(event: string, fields?: LogFields): void;
  warn(event: string, fields?: LogFields): void;
  error(event: string, fields?: LogFields): void;
};

export function createLog(level: LogLevel, destination?: DestinationStream): Log {
  const options = {
    level,
    base: null,
    messageKey: "event",
    timestamp: stdTimeFunctions.isoTime,
    formatters: { level: (label: string) => ({ level: label }) },
  };
  const logger = destination === undefined ? pino(options) : pino(options, destination);
  return {
    debug: (event, fields = {}) => logger.debug(fields, event),
    info: (event, fields = {}) => logger.info(fields, event),
    warn: (event, fields = {}) => logger.warn(fields, event),
    error: (event, fields = {}) => logger.error(fields, event),
  };
}

const mostKeys = 1000;

export type OnceAMinute = (key: string, write: (unwritten: number) => void) => void;

/**
 * Calls `write` at most once a real minute for each key, with how often it was held back before.
 * A clock that runs fast (the demo) makes no more lines.
 */
export function createOnceAMinute(clock: Clock): OnceAMinute {
  const seen = new Map<string, { atMs: number; unwritten: number }>();
  return (key, write) => {
    const nowMs = clock.nowMs();
    const last = seen.get(key);
    if (last !== undefined && Math.abs(nowMs - last.atMs) < msPerMinute * clock.speed) {
      last.unwritten += 1;
      return;
    }
    if (seen.size >= mostKeys) seen.clear();
    seen.set(key, { atMs: nowMs, unwritten: 0 });
    write(last?.unwritten ?? 0);
  };
}
