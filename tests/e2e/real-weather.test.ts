// Real weather through the whole chain: simulated trees under the sky of Whately MA, March 2015.
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, it } from "vitest";
import type { Compare } from "../../shared/wire/api.ts";
import { startDemo } from "../helpers/demo-process.ts";
import { readCsv, referenceFile } from "../helpers/reference-data.ts";

// Source: R package macleish 0.3.10 (Smith College CEEDS), CC0: weather every 10 minutes and a gathering diary.
const weatherFile = referenceFile("whately_2015/whately_2015_feb_apr_10min.csv");
const diaryFile = referenceFile("whately_2015/gathered_us_gal.csv");
const firstDay = "2015-03-05";
const lastDay = "2015-04-02";
const days = 28;

type DayWeather = { day: string; lowC: number; highC: number };

function weatherRows(path: string) {
  return readCsv(path).filter(({ when = "" }) => when >= firstDay && when < `${lastDay}T24`);
}

function csvFrom(path: string): string {
  const lines = weatherRows(path).map((row) =>
    [
      row["when"],
      row["temperature"],
      row["wind_speed"],
      row["solar_radiation"],
      row["rainfall"],
      row["pressure"],
    ].join(","),
  );
  return ["time,air_c,wind_m_s,solar_w_m2,rain_mm,pressure_hpa", ...lines].join("\n");
}

function daysFrom(path: string): DayWeather[] {
  const temps = new Map<string, number[]>();
  for (const { when = "", temperature } of weatherRows(path)) {
    const day = when.slice(0, 10);
    temps.set(day, [...(temps.get(day) ?? []), Number(temperature)]);
  }
  return [...temps].map(([day, list]) => ({
    day,
    lowC: Math.min(...list),
    highC: Math.max(...list),
  }));
}

const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

it.runIf(weatherFile && diaryFile)(
  "sap runs on freeze-thaw days, far less on frozen ones, and before the days people gathered",
  async () => {
    const folder = mkdtempSync(join(tmpdir(), "brimful-weather-"));
    const csv = join(folder, "whately.csv");
    writeFileSync(csv, csvFrom(weatherFile ?? ""));
    const options = ["--weather", csv, "--days", String(days), "--speed", "1"];
    // The file's hours are at -05:00; so are the simulated yard's.
    const demo = await startDemo(options, { TZ: "Etc/GMT+5" });
    const answer = await fetch(`${demo.url}/api/v1/trees/compare`);
    const { trees } = (await answer.json()) as Compare;
    await demo.stop();
    rmSync(folder, { recursive: true });

    const yardL = (trees[0]?.days ?? []).map((_, index) =>
      trees.reduce((sum, tree) => sum + (tree.days[index]?.volumeL ?? 0), 0),
    );
    // The first day of the yard is the first of the file; both are cut by the hour of the start.
    const weather = daysFrom(weatherFile ?? "");
    const joined = weather
      .slice(0, yardL.length)
      .map((day, index) => ({ ...day, volumeL: yardL[index] ?? 0 }))
      .slice(1, -1);
    const diary = new Map(
      readCsv(diaryFile ?? "").map((row) => [row["date"], Number(row["gathered_us_gal"] || 0)]),
    );
    for (const { day, lowC, highC, volumeL } of joined) {
      const gathered = diary.get(day) ?? 0;
      process.stdout.write(
        `${day}  ${lowC.toFixed(1)} to ${highC.toFixed(1)} C  ${volumeL.toFixed(1)} L simulated  ${gathered || "-"} gal gathered there\n`,
      );
    }
    const thawing = joined.filter(({ lowC, highC }) => lowC < -1 && highC > 3);
    const frozen = joined.filter(({ highC }) => highC < 0.5);
    expect(thawing.length).toBeGreaterThanOrEqual(10);
    expect(frozen.length).toBeGreaterThanOrEqual(3);
    const thawingL = mean(thawing.map(({ volumeL }) => volumeL));
    expect(thawingL).toBeGreaterThan(12);
    // Not nothing: strong March sun on twigs and bark wakes the simulated trees a little below 0.
    expect(mean(frozen.map(({ volumeL }) => volumeL))).toBeLessThan(0.4 * thawingL);
    // What was gathered on a day ran on it or on the two before.
    const gatheredDays = joined.filter(({ day }) => (diary.get(day) ?? 0) >= 15);
    const ranBefore = gatheredDays.filter(({ day }) => {
      const index = joined.findIndex((one) => one.day === day);
      const lately = joined.slice(Math.max(0, index - 2), index + 1);
      return lately.some(({ volumeL }) => volumeL > 0.5 * thawingL);
    });
    expect(gatheredDays.length).toBeGreaterThanOrEqual(8);
    expect(ranBefore.length / gatheredDays.length).toBeGreaterThanOrEqual(0.8);
  },
  300_000,
);
