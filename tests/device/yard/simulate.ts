// Runs the simulated yard for some days from a midnight of UTC and keeps its truth tape.
import type { Calibration } from "../../../device/scale/calibration.ts";
import type { RawWindow } from "../../../device/scale/sampler.ts";
import { warmUpMs } from "../../../device/yard/station.ts";
import { createSyntheticWeather } from "../../../device/yard/synthetic-weather.ts";
import type { TruthRecord } from "../../../device/yard/truth.ts";
import type { WeatherSource } from "../../../device/yard/weather.ts";
import { createYard } from "../../../device/yard/yard.ts";

export const simulationStartMs = Date.UTC(2026, 10, 1);
const hourMs = 3_600_000;
const dayMs = 24 * hourMs;

type Truth = Extract<TruthRecord, { kind: "reading" }>;
type Event = Exclude<TruthRecord, { kind: "reading" }>;

export type Simulation = {
  seed: number;
  days: number;
  stepMs?: number;
  weather?: WeatherSource;
  onWindow?: (window: RawWindow, cell: { calibration: Calibration; truth: Truth }) => void;
};

export function simulate({ seed, days, stepMs = 60_000, weather, onWindow }: Simulation) {
  const readings: Truth[] = [];
  const events: Event[] = [];
  const startMs = simulationStartMs;
  const endMs = startMs + days * dayMs;
  const sky =
    weather ?? createSyntheticWeather({ seed, startMs: startMs - warmUpMs, wallOffsetMs: 0 });
  const coldestC = new Map<number, number>();
  const yard = createYard({
    seed,
    startMs,
    wallOffsetMs: 0,
    weather: sky,
    tape: (record) => (record.kind === "reading" ? readings.push(record) : events.push(record)),
  });
  const cells = yard.boards.flatMap((board) => {
    const source = yard.sourceOf(board);
    return source.cells.map((cell) => ({ ...cell, source }));
  });
  for (let atMs = startMs; atMs <= endMs; atMs += stepMs) {
    noteColdest(coldestC, atMs, sky.at(atMs).airC);
    for (const { cell, calibration, source } of cells) {
      const window = source.windowAt(cell, atMs);
      const truth = readings.at(-1);
      if (window !== undefined && truth !== undefined) onWindow?.(window, { calibration, truth });
    }
  }
  return { yard, readings, events, frostyRuns: () => frostyRuns(readings, coldestC) };
}

function noteColdest(coldestC: Map<number, number>, atMs: number, airC: number): void {
  const day = Math.floor(atMs / dayMs);
  if (atMs % dayMs < 8 * hourMs) coldestC.set(day, Math.min(coldestC.get(day) ?? 99, airC));
}

/** First and last hour with more than 0.1 kg/h, of each tree on each day whose night fell below -2 Cel. */
function frostyRuns(readings: readonly Truth[], coldestC: ReadonlyMap<number, number>) {
  const runs = new Map<string, { fromH: number; toH: number }>();
  for (const { atMs, board, cell, flowGPerH } of readings) {
    const day = Math.floor(atMs / dayMs);
    const hour = (atMs % dayMs) / hourMs;
    if (flowGPerH < 100 || hour < 5 || (coldestC.get(day) ?? 0) > -2) continue;
    const key = `${board}/${cell}/${day}`;
    const run = runs.get(key);
    if (run === undefined) runs.set(key, { fromH: hour, toH: hour });
    else run.toH = hour;
  }
  return [...runs.values()];
}
