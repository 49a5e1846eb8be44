// Lives through a season again: a store of its own, the readings day by day, judged with today's code.
import type { WarningRecord } from "../../shared/wire/record.ts";
import { createStores, type Stores } from "../db/stores.ts";
import type { Log } from "../log.ts";
import { createWatch, type Watch } from "../watch/watch.ts";
import { createRehanging } from "./rehang.ts";
import { partOf, type Season, spanOf } from "./season-file.ts";

export type ReplaySettings = {
  timeZone: string;
  /** Called after each step with the share that is done. */
  onStep?: (done: number) => void;
};

export type Replayed = { record: WarningRecord; readings: number; days: number; buckets: number };

/** Short enough that every hour is judged as it would have been live. */
const stepMs = 12 * 3_600_000;
const msPerDay = 86_400_000;
const silentLog: Log = {
  debug: () => undefined,
  info: () => undefined,
  warn: () => undefined,
  error: (event, fields) => {
    throw new Error(`${event}: ${JSON.stringify(fields)}`);
  },
};

/** The record that today's code would have had. Throws a RangeError for a season without readings. */
export async function replaySeason(season: Season, settings: ReplaySettings): Promise<Replayed> {
  const span = spanOf(season);
  if (span === null) throw new RangeError("a season requires readings, got none");
  const stores = createStores(":memory:");
  const clock = { speed: 1, now: span.fromMs, nowMs: () => clock.now };
  const watch = createWatch({
    ...stores,
    clock,
    log: silentLog,
    settings: stores.people.yard,
    timeZone: settings.timeZone,
    simulated: true,
    freeBytes: () => null,
    sendNotice: () => undefined,
    publishNote: () => undefined,
  });
  try {
    watch.start();
    const rehanging = createRehanging(season, stores, watch);
    let readings = 0;
    let untilMs = span.fromMs;
    while (untilMs <= span.toMs) {
      const fromMs = untilMs;
      rehanging.hangUntil(fromMs);
      untilMs = Math.min(fromMs + stepMs, rehanging.nextMs(), span.toMs + 1);
      clock.now = untilMs;
      readings += feed(season, { stores, watch, fromMs, untilMs });
      await watch.settled();
      settings.onStep?.((untilMs - span.fromMs) / (span.toMs + 1 - span.fromMs));
    }
    const days = (span.toMs - span.fromMs) / msPerDay;
    return { record: watch.record(), readings, days, buckets: season.hung.size };
  } finally {
    watch.stop();
    stores.close();
  }
}

type Feed = { stores: Stores; watch: Watch; fromMs: number; untilMs: number };

function feed(season: Season, { stores, watch, fromMs, untilMs }: Feed): number {
  const { boards, readings, sqlite } = stores;
  let count = 0;
  const committed = sqlite.transaction(() => {
    for (const [name, series] of season.tempC) {
      const [board = "", probe = ""] = name.split("/");
      for (const [atMs, tempC] of partOf(series, fromMs, untilMs)) {
        boards.heard(board, atMs);
        readings.insertTemperature({
          probeKey: boards.probeKey({ board, name: probe, atMs }),
          atMs,
          tempC,
        });
      }
    }
    return [...season.massG].flatMap(([path, series]) => {
      const [board = "", name = ""] = path.split("/");
      const part = partOf(series, fromMs, untilMs);
      const [first, last] = [part[0], part.at(-1)];
      if (first === undefined || last === undefined) return [];
      boards.heard(board, last[0]);
      const cellKey = boards.cellKey({ board, name, atMs: first[0] });
      for (const [atMs, massG] of part) {
        readings.insertReading({ cellKey, atMs, massG, spreadG: null, counts: null });
      }
      count += part.length;
      return [{ board, cells: [{ cellKey, fromMs: first[0], untilMs: last[0] }] }];
    });
  })();
  watch.committed(committed);
  return count;
}
