// npm run replay -- FILE…: scores the warnings of an exported season again with today's code.
import { parseArgs } from "node:util";
import { AppError } from "../../shared/errors.ts";
import {
  fewForecastsWords,
  fillsWords,
  inflowWords,
  missedWords,
  warningsWords,
} from "../../shared/people/record.ts";
import type { WarningRecord } from "../../shared/wire/record.ts";
import { type Replayed, replaySeason } from "../replay/run.ts";
import { addSeasonFile, emptySeason, type SeasonFile } from "../replay/season-file.ts";

const usage = `Usage: npm run replay -- readings.csv buckets.csv temperatures.csv [--time-zone America/Toronto]
The files are those that the server writes under /api/v1/export/.`;

const wanted: Record<SeasonFile, string> = {
  readings: "/api/v1/export/readings.csv: every weight",
  buckets:
    "/api/v1/export/buckets.csv: which bucket hung on which cell, its weight and what it holds",
  temperatures: "/api/v1/export/temperatures.csv: the air",
};

async function main(): Promise<void> {
  const { positionals, values } = parseArgs({
    allowPositionals: true,
    options: { "time-zone": { type: "string" } },
  });
  if (positionals.length === 0) throw new AppError("config", usage);
  const season = emptySeason();
  const given = new Set(positionals.map((path) => addSeasonFile(season, path)));
  for (const name of ["readings", "buckets"] as const) {
    if (!given.has(name)) throw new AppError("config", `It also wants ${wanted[name]}`);
  }
  if (!given.has("temperatures")) {
    console.log(`Without ${wanted.temperatures}, forecasts rest on past days alone.`);
  }
  const timeZone = values["time-zone"] ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
  print(await replaySeason(season, { timeZone: zoneFrom(timeZone), onStep: showProgress }));
}

function zoneFrom(name: string): string {
  try {
    return Intl.DateTimeFormat("en", { timeZone: name }).resolvedOptions().timeZone;
  } catch (cause) {
    throw new AppError("config", `--time-zone requires the name of a zone, got ${name}`, { cause });
  }
}

function showProgress(done: number): void {
  if (!process.stdout.isTTY) return;
  const width = 30;
  const filled = Math.round(done * width);
  const bar = "#".repeat(filled) + ".".repeat(width - filled);
  process.stdout.write(`\r[${bar}] ${Math.round(done * 100)} %${done >= 1 ? "\n" : ""}`);
}

function print({ record, readings, days, buckets }: Replayed): void {
  console.log(
    `${readings} readings of ${buckets} buckets over ${days.toFixed(1)} days, judged again as if live,`,
  );
  console.log("without the weather outlooks of then.\n");
  printWarnings(record);
  for (const told of record.reliability) {
    console.log(`\nChances told for the next ${told.aheadH} hours`);
    const few = fewForecastsWords(told);
    if (few !== undefined) console.log(`  ${few}`);
    for (const { fromShare, untilShare, count, toldShare, cameShare } of told.bins) {
      const bin = `${percent(fromShare)} to ${percent(untilShare)} %`;
      console.log(
        `  ${bin.padEnd(13)} told ${percent(toldShare).padStart(3)} %, came ${percent(cameShare).padStart(3)} %, ${count} times`,
      );
    }
  }
  console.log(`\nSap to come in 12 h: ${inflowWords(record.inflow)}`);
  console.log(`Gathered against flow: ${fillsWords(record.fills)}`);
}

function printWarnings({ warnings }: WarningRecord): void {
  console.log(`${warningsWords(warnings)} ${missedWords(warnings)}`);
  const rows: [string, number, string][] = [
    ["useful", warnings.useful, "a full hour from 7 to 21 lay between, an hour after it or later"],
    ["late", warnings.late, "it would have run over before that"],
    ["false", warnings.false, "it would not have run over within a day"],
    ["missed", warnings.missed, "a bucket came to its rim without a useful warning"],
    ["not judged", warnings.open + warnings.untold, "the day after was not weighed"],
  ];
  for (const [name, count, meaning] of rows) {
    console.log(`  ${name.padEnd(10)} ${String(count).padStart(4)}  ${meaning}`);
  }
}

function percent(share: number): string {
  return String(Math.round(100 * share));
}

try {
  await main();
} catch (error) {
  if (!(error instanceof AppError) && !(error instanceof TypeError)) throw error;
  console.error(error.message);
  process.exitCode = 1;
}
