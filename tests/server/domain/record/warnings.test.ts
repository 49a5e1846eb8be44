// Useful, late, false and missed warnings by their definitions, in the yard's own time of day.
import { describe, expect, it } from "vitest";
import { fillFigures } from "../../../../server/domain/record/fills.ts";
import { countWarnings, type Warning } from "../../../../server/domain/record/warnings.ts";

const zone = "America/Toronto";
/** Local 12:00 on a day of daylight saving. */
const noonMs = Date.parse("2026-03-14T16:00:00Z");
const hourMs = 3_600_000;
const at = (localHour: number) => noonMs + (localHour - 12) * hourMs;

const warning = (raisedH: number, overH: number | null, more: Partial<Warning> = {}): Warning => ({
  bucketId: "gate",
  raisedMs: at(raisedH),
  overMs: overH === null ? null : at(overH),
  chance: 0.3,
  known: "told",
  afterwards: false,
  ...more,
});
const count = (warnings: Warning[], overH: number[] = []) =>
  countWarnings(
    warnings,
    overH.map((hour) => ({ bucketId: "gate", atMs: at(hour) })),
    zone,
  );

describe("a warning", () => {
  it.each([
    ["useful with hours of the day to come", 9, 14, "useful"],
    ["useful the evening before a night overflow", 19.5, 27, "useful"],
    ["late when it runs over within the hour", 13, 13.9, "late"],
    ["late when only the night lies between", 22.5, 28, "late"],
    ["useful again once a morning hour lies between", 22.5, 31.1, "useful"],
    ["late when it runs over before it", 13, 12.5, "late"],
    ["false when nothing runs over", 9, null, "false"],
    ["false when it runs over after more than a day", 9, 33.5, "false"],
  ] as const)("is %s", (...[, raisedH, overH, verdict]) => {
    const counts = count([warning(raisedH, overH)]);
    expect(counts).toMatchObject({ useful: 0, late: 0, false: 0, open: 0, [verdict]: 1 });
  });

  it("was to come true as often as the chances told add up to", () => {
    const warnings = [warning(9, 14), warning(9, null), warning(9, null, { chance: 0.15 })];
    expect(count([...warnings, warning(9, null, { known: "open" })]).expected).toBeCloseTo(
      0.75,
      12,
    );
  });

  it("is told apart when nobody could be told of it at the time", () => {
    const counts = count([warning(9, 14), warning(9, 14, { afterwards: true })]);
    expect(counts).toMatchObject({ useful: 2, afterwards: 1 });
  });

  it("is not judged while its day is open or was not weighed", () => {
    const counts = count([
      warning(9, null, { known: "open" }),
      warning(9, null, { known: "untold", afterwards: true }),
    ]);
    expect(counts).toMatchObject({ open: 1, untold: 1, false: 0, afterwards: 0 });
  });
});

describe("an overflow", () => {
  it("is missed without a useful warning of that bucket", () => {
    expect(count([], [14])).toMatchObject({ overflows: 1, missed: 1 });
    expect(count([warning(9, 14)], [14])).toMatchObject({ overflows: 1, missed: 0 });
    expect(count([warning(13.5, 14)], [14])).toMatchObject({ missed: 1 });
    expect(count([warning(9, 14, { bucketId: "hill" })], [14])).toMatchObject({ missed: 1 });
    expect(count([warning(-30, 14)], [14])).toMatchObject({ missed: 1 });
  });

  it("is one as long as the rim is only left for a moment", () => {
    expect(count([warning(9, 14)], [14, 14.5, 15])).toMatchObject({ overflows: 1, missed: 0 });
  });

  it("is not forewarned by the warning of the one before", () => {
    expect(count([warning(9, 14)], [14, 34])).toMatchObject({ overflows: 2, missed: 1 });
  });
});

describe("flow summed up against what was gathered", () => {
  it("holds where the gathered mass lies within the bounds, a little slack given", () => {
    const fills = [
      { gatheredG: 5000, flowG: 5100, lowG: 4600, highG: 5600 },
      { gatheredG: 5000, flowG: 4000, lowG: 3600, highG: 4950 },
      { gatheredG: 5000, flowG: 4000, lowG: 3600, highG: 4500 },
    ];
    expect(fillFigures(fills)).toEqual({ count: 3, within: 2, medianErrorShare: 0.2 });
    expect(fillFigures([])).toEqual({ count: 0, within: 0, medianErrorShare: null });
  });
});
