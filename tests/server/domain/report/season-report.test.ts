// The season's sums: nothing given is lost between buckets, days and taps; warnings are counted as they came.
import fc from "fast-check";
import { expect, it } from "vitest";
import {
  bestDaysOf,
  byHandOf,
  dayOfYear,
  type ReportAlarm,
  tapRows,
  volumesByDay,
  warningsOf,
} from "../../../../server/domain/report/season-report.ts";
import { msPerHour } from "../../../../shared/units.ts";

const tap = (id: string) => ({ id, label: id, treeId: "t", tappedMs: null, pulledMs: null });

it("what the taps gave together is what the buckets got", () => {
  const anyDay = fc.record({
    bucketId: fc.constantFrom("a", "b"),
    day: fc.constantFrom("2026-03-10", "2026-03-11", "2026-03-12"),
    inflowG: fc.double({ min: 0, max: 20_000, noNaN: true }),
  });
  const hangings = [
    {
      bucketId: "a",
      tapIds: ["a1", "a2"],
      fromDay: "2026-03-01",
      throughDay: null,
      isWeighed: true,
    },
    {
      bucketId: "b",
      tapIds: ["b1"],
      fromDay: "2026-03-01",
      throughDay: "2026-03-10",
      isWeighed: true,
    },
    { bucketId: "b", tapIds: ["a2"], fromDay: "2026-03-11", throughDay: null, isWeighed: true },
  ];
  const taps = ["a1", "a2", "b1", "idle"].map(tap);
  fc.assert(
    fc.property(fc.array(anyDay), (days) => {
      const sum = (rows: { volumeL: number }[]) => rows.reduce((all, row) => all + row.volumeL, 0);
      const byTap = tapRows(days, { hangings, taps });
      expect(sum(byTap)).toBeCloseTo(sum(volumesByDay(days)), 6);
      expect(byTap.map(({ tapId }) => tapId)).not.toContain("idle");
    }),
  );
});

it("what was gathered by hand counts to the trees of buckets that no cell weighed then", () => {
  const taps = [tap("a1"), { ...tap("o1"), treeId: "other" }];
  const hung = { bucketId: "a", tapIds: ["a1", "o1"] };
  const hangings = [
    { ...hung, fromDay: "2026-03-01", throughDay: "2026-03-09", isWeighed: false },
    { ...hung, fromDay: "2026-03-10", throughDay: null, isWeighed: true },
  ];
  const gathered = ["2026-03-05", "2026-03-08", "2026-03-12"].map((day) => ({
    bucketId: "a",
    day,
    volumeL: 4,
  }));
  expect([...byHandOf(gathered, { hangings, taps })]).toEqual([
    ["t", 4],
    ["other", 4],
  ]);
});

it("the best days are told by what they gave, dry ones are none", () => {
  const days = [1, 9, 0.05, 4].map((volumeL, index) => ({ day: `2026-03-0${index + 1}`, volumeL }));
  expect(bestDaysOf(days).map(({ volumeL }) => volumeL)).toEqual([9, 4, 1]);
  expect(dayOfYear("2026-03-14", 2025)).toBe("2025-03-14");
});

it("a rim was warned of when a warning of that bucket came before it, within two days", () => {
  const at = (kind: string, subject: string, hour: number): ReportAlarm => ({
    kind,
    subject,
    raisedAtMs: hour * msPerHour,
  });
  const warnings = warningsOf([
    at("brim", "a", 100),
    at("brimful", "a", 104),
    at("brim", "b", 200),
    at("brimful", "b", 199),
    at("brimful", "c", 300),
    at("brim", "c", 200),
    at("brim", "a", 300),
    at("brimful", "a", 310),
  ]);
  expect(warnings).toMatchObject({ brimful: 4, warned: 2, medianLeadH: 4 });
  expect(warnings.byKind).toEqual([
    { kind: "brim", count: 4 },
    { kind: "brimful", count: 4 },
  ]);
  expect(warningsOf([]).medianLeadH).toBeNull();
});
