// Makes the simulated yard of the board program: its weather, its plan, its place in time.
import { readFileSync, statSync } from "node:fs";
import { AppError } from "../shared/errors.ts";
import { localParts, startOfLocalDayMs } from "../shared/local-time.ts";
import { warmUpMs } from "./yard/station.ts";
import { createSyntheticWeather } from "./yard/synthetic-weather.ts";
import type { Tape } from "./yard/truth.ts";
import type { WeatherSource } from "./yard/weather.ts";
import { createFileWeather, parseWeatherCsv, type WeatherRow } from "./yard/weather-csv.ts";
import { createYard, type Yard } from "./yard/yard.ts";

const mostFileBytes = 50_000_000;

export type SimulationSettings = {
  seed: number;
  startMs: number;
  /** What to add to UTC for the yard's wall clock: one for the whole simulation. */
  wallOffsetMs: number;
  weatherFile: string | undefined;
  tape?: Tape;
};

/** Throws AppError with one clear message when the weather file can't be used. */
export function createSimulation(settings: SimulationSettings): Yard {
  return createYard({ ...settings, weather: weatherFrom(settings) });
}

function weatherFrom(settings: SimulationSettings): WeatherSource {
  const { seed, startMs, wallOffsetMs, weatherFile } = settings;
  if (weatherFile === undefined) {
    return createSyntheticWeather({ seed, startMs: startMs - warmUpMs, wallOffsetMs });
  }
  return createFileWeather({ rows: readWeather(weatherFile), startMs, wallOffsetMs });
}

function readWeather(path: string): WeatherRow[] {
  const rows = parseWeatherCsv(readText(path));
  if (!rows.ok) throw new AppError("config", `the weather file ${path}: ${rows.problem}`);
  return rows.value;
}

function readText(path: string): string {
  try {
    const { size } = statSync(path);
    if (size <= mostFileBytes) return readFileSync(path, "utf8");
    throw new AppError(
      "config",
      `the weather file ${path} requires at most ${mostFileBytes} bytes, got ${size}`,
    );
  } catch (error) {
    if (error instanceof AppError) throw error;
    const got = error instanceof Error ? error.message : String(error);
    throw new AppError(
      "config",
      `the weather file ${path} requires a file that can be read, got ${got}`,
      { cause: error },
    );
  }
}

/** What a time zone adds to UTC on the day of a time, in ms. */
export function wallOffsetFrom(atMs: number, timeZone: string): number {
  const { dayKey } = localParts(atMs, timeZone);
  return Date.parse(`${dayKey}T00:00:00Z`) - startOfLocalDayMs(atMs, timeZone);
}
