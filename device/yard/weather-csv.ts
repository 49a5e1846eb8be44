// Weather from a CSV file, its days moved to the simulated span and repeated when they run out.
import { type Parsed, parsed, refused } from "../../shared/parsed.ts";
import { msPerDay, msPerHour } from "../../shared/units.ts";
import { sunlightWM2, type Weather, type WeatherSource, weatherBetween } from "./weather.ts";

/** Times are of the wall clock at the place the file comes from. */
export type WeatherRow = Weather & { wallMs: number };

const columns = {
  air_c: { low: -60, high: 60, of: "degrees Celsius" },
  wind_m_s: { low: 0, high: 100, of: "metres a second" },
  solar_w_m2: { low: -20, high: 1600, of: "watts a square metre" },
  rain_mm: { low: 0, high: 300, of: "millimetres" },
  pressure_hpa: { low: 500, high: 1100, of: "hectopascals" },
} as const;
type Column = keyof typeof columns;
const columnNames = Object.keys(columns) as Column[];
const timePattern = /^\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(?::\d{2}(?:\.\d+)?)?(Z|[+-]\d{2}:?\d{2})$/;

type Values = Partial<Record<Column, number>>;
type Line = { text: string; number: number };

/** The rows of a file, at least two and rising in time; the problem names line and column. */
export function parseWeatherCsv(text: string): Parsed<WeatherRow[]> {
  const [header, ...lines] = text
    .replace(/^\uFEFF/, "")
    .split(/\r?\n/)
    .map((line, at): Line => ({ text: line, number: at + 1 }))
    .filter((line) => line.text.trim() !== "");
  const names = parseHeader(header?.text ?? "");
  if (!names.ok) return names;
  const rows: WeatherRow[] = [];
  for (const line of lines) {
    const row = parseRow(line, names.value, rows.at(-1));
    if (!row.ok) return row;
    rows.push(row.value);
  }
  if (rows.length < 2)
    return refused(`the file requires at least two lines of weather, got ${rows.length}`);
  return parsed(rows);
}

function parseHeader(text: string): Parsed<string[]> {
  const names = text.split(",").map((name) => name.trim());
  const known = ["time", ...columnNames];
  const right =
    names.includes("time") &&
    names.includes("air_c") &&
    names.every((name) => known.includes(name)) &&
    new Set(names).size === names.length;
  if (right) return parsed(names);
  return refused(
    `line 1 requires the header time,air_c[,wind_m_s,solar_w_m2,rain_mm,pressure_hpa], got "${text.slice(0, 120)}"`,
  );
}

function parseRow(
  line: Line,
  names: readonly string[],
  before: WeatherRow | undefined,
): Parsed<WeatherRow> {
  const cells = line.text.split(",").map((cell) => cell.trim());
  if (cells.length !== names.length) {
    return refused(`line ${line.number} requires ${names.length} columns, got ${cells.length}`);
  }
  const timeText = cells[names.indexOf("time")] ?? "";
  const wallMs = wallMsFrom(timeText);
  if (wallMs === undefined) {
    return refused(
      `line ${line.number}, column time requires a time with its offset such as 2026-03-14T06:00:00-05:00, got "${timeText}"`,
    );
  }
  if (before !== undefined && wallMs <= before.wallMs) {
    return refused(
      `line ${line.number}, column time requires a later time than the line before, got "${timeText}"`,
    );
  }
  const values: Values = {};
  for (const name of columnNames) {
    const cell = cells[names.indexOf(name)];
    if (!names.includes(name) || cell === undefined) continue;
    const value = parseCell(cell, name, line.number);
    if (!value.ok) return value;
    values[name] = value.value;
  }
  return parsed(rowFrom(wallMs, values, before));
}

function parseCell(cell: string, name: Column, lineNumber: number): Parsed<number> {
  const { low, high, of } = columns[name];
  const value = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(cell) ? Number(cell) : Number.NaN;
  if (value >= low && value <= high) return parsed(value);
  return refused(
    `line ${lineNumber}, column ${name} requires ${of} between ${low} and ${high}, got "${cell.slice(0, 40)}"`,
  );
}

function wallMsFrom(text: string): number | undefined {
  const offset = timePattern.exec(text)?.[1];
  if (offset === undefined) return undefined;
  const wallMs = Date.parse(`${text.slice(0, -offset.length).replace(" ", "T")}Z`);
  if (Number.isNaN(wallMs)) return undefined;
  // 31 February would quietly become 3 March.
  return new Date(wallMs).toISOString().startsWith(text.slice(0, 10)) ? wallMs : undefined;
}

/** What the file does not tell is taken as a light wind, half a sky of cloud, no rain, 985 hPa. */
function rowFrom(wallMs: number, values: Values, before: WeatherRow | undefined): WeatherRow {
  const stepH = before === undefined ? 1 : (wallMs - before.wallMs) / msPerHour;
  return {
    wallMs,
    airC: values.air_c ?? 0,
    windMS: values.wind_m_s ?? 1.6,
    solarWM2: Math.max(0, values.solar_w_m2 ?? sunlightWM2((wallMs % msPerDay) / msPerHour, 0.5)),
    rainMmPerH: (values.rain_mm ?? 0) / stepH,
    pressurePa: 100 * (values.pressure_hpa ?? 985),
  };
}

export type FileWeatherSettings = {
  rows: readonly WeatherRow[];
  startMs: number;
  wallOffsetMs: number;
};

/**
 * The file's first day falls on the day of `startMs`, at the same hours of the wall clock; after
 * its last day the first comes again. Before the start, its first day is repeated backwards.
 */
export function createFileWeather({
  rows,
  startMs,
  wallOffsetMs,
}: FileWeatherSettings): WeatherSource {
  const first = rows[0];
  const last = rows.at(-1);
  if (first === undefined || last === undefined)
    throw new RangeError("weather requires rows, got none");
  const fileDayMs = Math.floor(first.wallMs / msPerDay) * msPerDay;
  const startDayMs = Math.floor((startMs + wallOffsetMs) / msPerDay) * msPerDay;
  const spanMs = Math.ceil((last.wallMs + 1 - fileDayMs) / msPerDay) * msPerDay;
  return {
    at(atMs) {
      const sinceMs = atMs + wallOffsetMs - startDayMs;
      const turnMs = sinceMs < 0 ? msPerDay : spanMs;
      const wallMs = fileDayMs + (((sinceMs % turnMs) + turnMs) % turnMs);
      return weatherInRows(rows, wallMs, spanMs);
    },
  };
}

/** Between the rows about a time; past the last row, on the way to the first of the next turn. */
function weatherInRows(rows: readonly WeatherRow[], wallMs: number, spanMs: number): Weather {
  let low = 0;
  let high = rows.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((rows[middle]?.wallMs ?? 0) <= wallMs) low = middle + 1;
    else high = middle;
  }
  const from = rows[low - 1] ?? rows.at(-1);
  const to = rows[low] ?? rows[0];
  if (from === undefined || to === undefined)
    throw new RangeError("weather requires rows, got none");
  const turnMs = (value: number) => ((value % spanMs) + spanMs) % spanMs;
  const gapMs = turnMs(to.wallMs - from.wallMs) || spanMs;
  return weatherBetween(from, to, Math.min(1, turnMs(wallMs - from.wallMs) / gapMs));
}
