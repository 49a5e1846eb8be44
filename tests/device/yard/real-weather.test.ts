// The simulated trees under real weather: they run on days of freeze and thaw, and rest on the others.
// Weather: orchard at Whately MA, February to April 2015, R package macleish 0.3.10 (CC0).
import { existsSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { expect, it } from "vitest";
import { createFileWeather, parseWeatherCsv } from "../../../device/yard/weather-csv.ts";
import { simulate, simulationStartMs } from "./simulate.ts";

const root = new URL("../../..", import.meta.url).pathname;
const folder = resolve(root, process.env["BRIMFUL_REFERENCE_DATA"] ?? "../shared/data");
const path = join(folder, "whately_2015", "orchard_2015_feb_apr_10min.csv");
const isThere = existsSync(path);
if (!isThere) {
  process.stdout.write(
    `NOTICE: no weather at ${path}: the trees are not tried under real weather\n`,
  );
}

/** Time, air, wind and rain; its pressure is reduced to sea level and its light is not in W/m2. */
function converted(text: string): string {
  const [header = "", ...lines] = text.trim().split("\n");
  const names = header.split(",");
  const columns = ["when", "temperature", "wind_speed", "rainfall"].map((name) =>
    names.indexOf(name),
  );
  const rows = lines.map((line) => {
    const cells = line.split(",");
    return columns.map((column) => cells[column]).join(",");
  });
  return ["time,air_c,wind_m_s,rain_mm", ...rows].join("\n");
}

it.runIf(isThere)("run on days of freeze and thaw, hardly on others", () => {
  const rows = parseWeatherCsv(converted(readFileSync(path, "utf8")));
  if (!rows.ok) throw new Error(rows.problem);
  const weather = createFileWeather({
    rows: rows.value,
    startMs: simulationStartMs,
    wallOffsetMs: 0,
  });
  const days = 89;
  const { readings } = simulate({ seed: 1, days, stepMs: 600_000, weather });
  const dayMs = 86_400_000;
  const dayOf = (atMs: number) => Math.floor((atMs - simulationStartMs) / dayMs);
  const yieldG = new Array<number>(days + 1).fill(0);
  for (const { atMs, flowGPerH } of readings) yieldG[dayOf(atMs)]! += flowGPerH / 6;
  // Freeze at night (0 C or below), thaw by day (1.7 C or more): Michigan State Univ. Extension.
  const sapDays: number[] = [];
  const frozenDays: number[] = [];
  for (let day = 0; day < days; day += 1) {
    const airC = Array.from(
      { length: 144 },
      (_, step) => weather.at(simulationStartMs + day * dayMs + step * 600_000).airC,
    );
    const perBucketG = yieldG[day]! / 12;
    if (Math.min(...airC.slice(0, 54)) <= 0 && Math.max(...airC) >= 1.7) sapDays.push(perBucketG);
    if (Math.max(...airC) < -3) frozenDays.push(perBucketG);
  }
  const middle = (values: number[]) => [...values].sort((a, b) => a - b)[values.length >> 1]!;
  expect(sapDays.length).toBeGreaterThan(15);
  expect(frozenDays.length).toBeGreaterThan(10);
  expect(middle(sapDays)).toBeGreaterThan(1_000);
  expect(Math.max(...frozenDays)).toBeLessThan(middle(sapDays) / 4);
  expect(middle(frozenDays)).toBeLessThan(20);
});
