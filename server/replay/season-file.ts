// The files of a season as the export writes them: which is which, and what their rows say.
import { readFileSync } from "node:fs";
import { AppError } from "../../shared/errors.ts";
import { cellsFromLine } from "./csv.ts";

/** Readings or temperatures of one source, in the order of time. */
export type Series = { atMs: number[]; value: number[] };

export type HungBucket = {
  label: string;
  role: "sap" | "control";
  cell: string | null;
  fromMs: number;
  capacityL: number;
  emptyKg: number;
  sunShare: number;
};

export type Season = {
  /** Grams, by "board/cell". */
  massG: Map<string, Series>;
  /** Cel, by "board/probe". */
  tempC: Map<string, Series>;
  /** By bucket, oldest first. */
  hung: Map<string, HungBucket[]>;
};

export type SeasonFile = "readings" | "temperatures" | "buckets";

export const headers: Record<SeasonFile, string[]> = {
  readings: ["time", "board", "cell", "mass_kg", "spread_kg", "counts"],
  temperatures: ["time", "board", "probe", "temp_c"],
  buckets: ["bucket", "label", "role", "cell", "from", "until"].concat([
    "capacity_l",
    "empty_kg",
    "sun_share",
  ]),
};

export const emptySeason = (): Season => ({ massG: new Map(), tempC: new Map(), hung: new Map() });

/** Adds a file to the season and says which it was. Throws AppError "config" naming file and line. */
export function addSeasonFile(season: Season, path: string): SeasonFile {
  const lines = linesOf(path);
  const header = lines[0]?.replace(/^\uFEFF/, "") ?? "";
  const names = Object.keys(headers) as SeasonFile[];
  const kind = names.find((name) => headers[name].join(",") === header);
  if (kind === undefined) {
    throw new AppError(
      "config",
      `${path} requires the header of readings.csv, temperatures.csv or buckets.csv, got "${header.slice(0, 80)}"`,
    );
  }
  const add = adders[kind];
  for (const [index, line] of lines.entries()) {
    if (index === 0 || line === "") continue;
    const problem = add(season, cellsFromLine(line));
    if (problem !== undefined) throw new AppError("config", `${path} line ${index + 1} ${problem}`);
  }
  return kind;
}

function linesOf(path: string): string[] {
  try {
    return readFileSync(path, "utf8").split(/\r?\n/);
  } catch (cause) {
    throw new AppError("config", `${path} requires a file that can be read`, { cause });
  }
}

type Adder = (season: Season, cells: string[]) => string | undefined;

const adders: Record<SeasonFile, Adder> = {
  readings: ({ massG }, [time = "", board, cell, massKg = ""]) =>
    addPoint(massG, `${board}/${cell}`, {
      atMs: Date.parse(time),
      value: numberFrom(massKg) * 1000,
    }),
  temperatures: ({ tempC }, [time = "", board, probe, value = ""]) =>
    addPoint(tempC, `${board}/${probe}`, { atMs: Date.parse(time), value: numberFrom(value) }),
  buckets: addBucket,
};

function numberFrom(text: string): number {
  return text.trim() === "" ? Number.NaN : Number(text);
}

function addPoint(
  all: Map<string, Series>,
  name: string,
  { atMs, value }: { atMs: number; value: number },
): string | undefined {
  if (!Number.isFinite(atMs)) return "requires an ISO time";
  if (!Number.isFinite(value)) return "requires a number";
  const series = all.get(name) ?? { atMs: [], value: [] };
  all.set(name, series);
  if (atMs <= (series.atMs.at(-1) ?? 0)) return `requires times that rise, of ${name}`;
  series.atMs.push(atMs);
  series.value.push(value);
  return undefined;
}

function addBucket({ hung }: Season, cells: string[]): string | undefined {
  const [id = "", label = "", role, cell = "", from = "", , capacity = "", empty = "", sun = ""] =
    cells;
  const fromMs = Date.parse(from);
  const [capacityL, emptyKg, sunShare] = [capacity, empty, sun].map(numberFrom);
  if (!Number.isFinite(fromMs)) return "requires an ISO time as from";
  if (!(capacityL !== undefined && capacityL > 0)) return "requires a capacity";
  if (!(emptyKg !== undefined && emptyKg >= 0)) return "requires an empty weight";
  const bucket: HungBucket = {
    label,
    role: role === "control" ? "control" : "sap",
    cell: cell === "" ? null : cell,
    fromMs,
    capacityL,
    emptyKg,
    sunShare: sunShare !== undefined && sunShare >= 0 && sunShare <= 1 ? sunShare : 1,
  };
  hung.set(
    id,
    [...(hung.get(id) ?? []), bucket].sort((a, b) => a.fromMs - b.fromMs),
  );
  return undefined;
}

/** First and last instant of the readings; null without any. */
export function spanOf({ massG }: Season): { fromMs: number; toMs: number } | null {
  const first = [...massG.values()].flatMap(({ atMs }) => atMs.slice(0, 1));
  const last = [...massG.values()].flatMap(({ atMs }) => atMs.slice(-1));
  return first.length === 0 ? null : { fromMs: Math.min(...first), toMs: Math.max(...last) };
}

/** The part of a series from an instant to before another, as grams or degrees by time. */
export function partOf(series: Series, fromMs: number, untilMs: number): [number, number][] {
  const first = firstFrom(series.atMs, fromMs);
  const end = firstFrom(series.atMs, untilMs);
  return series.atMs
    .slice(first, end)
    .map((atMs, index) => [atMs, series.value[first + index] ?? 0]);
}

function firstFrom(sorted: readonly number[], fromMs: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sorted[middle] ?? 0) < fromMs) low = middle + 1;
    else high = middle;
  }
  return low;
}
