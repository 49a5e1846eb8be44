// A season exported over HTTP and lived through again: the same record, and every bad file told by name and line.
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { csvLine } from "../../../server/http/csv.ts";
import { cellsFromLine } from "../../../server/replay/csv.ts";
import { replaySeason } from "../../../server/replay/run.ts";
import { addSeasonFile, emptySeason, headers, spanOf } from "../../../server/replay/season-file.ts";
import { openHttpRig } from "../../helpers/http-rig.ts";
import { filling } from "../../helpers/watch-rig.ts";

const startMs = Date.UTC(2026, 2, 10, 12);
let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "replay-"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

function write(name: string, rows: (string | number | null)[][]): string {
  const path = join(folder, name);
  writeFileSync(path, rows.map(csvLine).join(""));
  return path;
}

const time = (atMs: number) => new Date(atMs).toISOString();

/** Two days of one bucket that fills, is emptied and fills more slowly. */
function seasonFiles(): string[] {
  const samples = [
    ...filling({ fromMs: startMs, hours: 20, flowGPerH: 300 }),
    ...filling({ fromMs: startMs + 20 * 3_600_000, hours: 28, flowGPerH: 60 }),
  ];
  const readings = samples.map(({ atMs, massG }) => [
    ...[time(atMs), "hill", "cell-1"],
    ...[(massG / 1000).toFixed(4), null, null],
  ]);
  const air = samples
    .filter((_, index) => index % 20 === 0)
    .map(({ atMs }) => [time(atMs), "hill", "air", "4.00"]);
  const hung = ["gate", 'Gate, "old"', "sap", "hill/cell-1", time(startMs), null, 12, 0.8, 1];
  return [
    write("readings.csv", [headers.readings, ...readings]),
    write("temperatures.csv", [headers.temperatures, ...air]),
    write("buckets.csv", [headers.buckets, hung]),
  ];
}

/** When the row of a hanging begins. */
const fromOf = (line: string) => Date.parse(cellsFromLine(line)[4] ?? "");

/** Two days of two buckets that a person swapped after a day, as the page has it done, exported over HTTP. */
async function swappedFiles() {
  const http = await openHttpRig();
  try {
    const { boards, readings, clock } = http.rig;
    const { buckets } = http.parts;
    const swapMs = startMs + 24 * 3_600_000;
    const make = { tapIds: [], capacityL: 12, emptyKg: 0.8, role: "sap" as const };
    const swing = { ...make, label: "Swing pail", cell: "shed/cell-1", fromMs: startMs };
    const well = { ...make, label: "Well pail", cell: "shed/cell-2", fromMs: startMs };
    for (const bucket of [swing, well]) buckets.insert(bucket, swapMs);
    buckets.update("swing-pail", { cell: null }, swapMs);
    buckets.update("well-pail", { cell: "shed/cell-1" }, swapMs + 20_000);
    buckets.update("swing-pail", { cell: "shed/cell-2" }, swapMs + 40_000);
    boards.heard("shed", startMs);
    for (const [name, flowGPerH] of [
      ["cell-1", 90],
      ["cell-2", 60],
    ] as const) {
      const cellKey = boards.cellKey({ board: "shed", name, atMs: startMs });
      for (const { atMs, massG } of filling({ fromMs: startMs, hours: 48, flowGPerH })) {
        readings.insertReading({ cellKey, atMs, massG, spreadG: null, counts: null });
      }
    }
    clock.set(startMs + 50 * 3_600_000);
    // Back again at one instant, as the page does it in one go.
    const backMs = swapMs + 3_600_000;
    const back = { cell: "shed/cell-1", swapWith: "well-pail", fromMs: backMs };
    buckets.update("swing-pail", back, clock.nowMs());
    // Long after the last reading: nothing is left to judge with it.
    buckets.update("well-pail", { capacityL: 10 }, clock.nowMs());
    const saved = async (name: string) => {
      const response = await fetch(`${http.url}/api/v1/export/${name}.csv`);
      const path = join(folder, `${name}.csv`);
      writeFileSync(path, await response.text());
      return path;
    };
    return { readings: await saved("readings"), buckets: await saved("buckets") };
  } finally {
    await http.close();
  }
}

describe("a line of CSV", () => {
  it("comes apart as the export put it together", () => {
    const cell = fc.string().filter((text) => !/[\r\n]/.test(text) && !/^\s*[=+\-@\t]/.test(text));
    fc.assert(
      fc.property(fc.array(cell, { minLength: 1, maxLength: 6 }), (cells) => {
        expect(cellsFromLine(csvLine(cells).slice(0, -2))).toEqual(cells);
      }),
    );
  });
});

describe("a season lived through again", () => {
  it("is judged hour by hour as if live, the same each time", async () => {
    const season = emptySeason();
    expect(seasonFiles().map((path) => addSeasonFile(season, path))).toEqual([
      "readings",
      "temperatures",
      "buckets",
    ]);
    const steps: number[] = [];
    const settings = { timeZone: "America/Toronto", onStep: (done: number) => steps.push(done) };
    const { record, readings, buckets } = await replaySeason(season, settings);
    expect({ readings, buckets }).toEqual({ readings: 48 * 120, buckets: 1 });
    expect(steps.at(-1)).toBe(1);
    expect(record.reliability[0]?.count).toBeGreaterThanOrEqual(22);
    const again = await replaySeason(season, { timeZone: "America/Toronto" });
    expect(again.record).toEqual(record);
  });

  it("takes two buckets that changed their cells, one laid aside for the other", async () => {
    const paths = await swappedFiles();
    for (const order of ["as exported", "by time"]) {
      const season = emptySeason();
      const [header = "", ...rows] = readFileSync(paths.buckets, "utf8").trimEnd().split("\r\n");
      if (order === "by time") rows.sort((one, other) => fromOf(one) - fromOf(other));
      writeFileSync(paths.buckets, [header, ...rows].join("\r\n"));
      for (const path of Object.values(paths)) addSeasonFile(season, path);
      const cells = season.hung.get("swing-pail")?.map(({ cell }) => cell);
      expect(cells).toEqual(["shed/cell-1", null, "shed/cell-2", "shed/cell-1"]);
      const { record, buckets } = await replaySeason(season, { timeZone: "UTC" });
      expect(buckets).toBe(2);
      // Both are forecast until the end: each hour of both has a day's readings after it.
      expect(record.reliability[0]?.count).toBeGreaterThanOrEqual(2 * 20);
    }
  });

  it("needs readings", async () => {
    expect(spanOf(emptySeason())).toBeNull();
    await expect(replaySeason(emptySeason(), { timeZone: "UTC" })).rejects.toThrow(RangeError);
  });
});

describe("a file that is no season's", () => {
  const refused = (name: string, rows: (string | number | null)[][]) => () =>
    addSeasonFile(emptySeason(), write(name, rows));
  const reading = (atMs: number, massKg: string) => [
    ...[time(atMs), "hill", "cell-1"],
    ...[massKg, null, null],
  ];

  it("is told by its header", () => {
    expect(refused("notes.csv", [["when", "what"]])).toThrow(
      /notes\.csv requires the header of readings\.csv, temperatures\.csv or buckets\.csv, got "when,what"/,
    );
    expect(() => addSeasonFile(emptySeason(), join(folder, "none.csv"))).toThrow(/can be read/);
  });

  it("is told by the line that is wrong", () => {
    const first = reading(startMs, "1.0");
    const bad: [(string | number | null)[], RegExp][] = [
      [["yesterday", "hill", "cell-1", "1", null, null], /line 3 requires an ISO time/],
      [reading(startMs + 1, ""), /line 3 requires a number/],
      [reading(startMs, "1.0"), /line 3 requires times that rise, of hill\/cell-1/],
    ];
    for (const [row, text] of bad) {
      expect(refused("readings.csv", [headers.readings, first, row])).toThrow(text);
    }
    const hung = ["gate", "Gate", "sap", null, time(startMs), null, 0, 0.8, 1];
    expect(refused("buckets.csv", [headers.buckets, hung])).toThrow(/line 2 requires a capacity/);
  });
});
