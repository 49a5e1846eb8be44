// Hints of the season's end: each alone, together, and none in a sound season.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { stepEpisodes } from "../../../../server/domain/alarms/conditions.ts";
import type { Episode } from "../../../../server/domain/alarms/episode.ts";
import {
  type SeasonDay,
  type SeasonHints,
  seasonHints,
} from "../../../../server/domain/season/hints.ts";
import { createRandom } from "../../../helpers/random.ts";
import { yardOf } from "../alarms/fixtures.ts";

type Air = { lowC: number; highC: number };
const frostThaw: Air = { lowC: -4, highC: 6 };

function daysOf(litres: readonly (number | null)[], air: Air = frostThaw): SeasonDay[] {
  return litres.map((litresPerBucket, index) => ({
    day: new Date(Date.UTC(2026, 2, 1 + index)).toISOString().slice(0, 10),
    litresPerBucket,
    ...air,
  }));
}
const kinds = ({ hints }: SeasonHints) => hints.map(({ kind }) => kind);
const sound = new Array<number>(20).fill(4);

describe("hints of the season's end", () => {
  it("are none in a sound season, nor with too few days to hold against", () => {
    const hints = seasonHints({ days: daysOf(sound), outlook: null });
    expect(hints.hints).toEqual([]);
    expect(hints.probability).toBeCloseTo(1 / (1 + Math.exp(3)), 9);
    expect(hints.frostThawDays).toBe(20);
    expect(kinds(seasonHints({ days: daysOf([4, 4, 4, 0.1, 0.1]), outlook: null }))).toEqual([]);
  });

  it("tell of fallen vigour in days of frost and thaw, the surer the longer", () => {
    const fallen = (count: number) =>
      seasonHints({
        days: daysOf([...sound.slice(0, 10), ...new Array<number>(count).fill(0.6)]),
        outlook: null,
      });
    expect(kinds(fallen(2))).toEqual([]);
    expect(fallen(3).hints[0]).toMatchObject({ kind: "vigour", sure: "strong" });
    expect(fallen(3).hints[0]?.text).toContain("about 15 % of what such days gave at first");
    expect(fallen(3).probability).toBeGreaterThan(0.2);
  });

  it("do not hold a cold spell or a long thaw against the trees", () => {
    const still = daysOf(new Array<number>(8).fill(0), { lowC: -12, highC: -3 });
    expect(kinds(seasonHints({ days: [...daysOf(sound), ...still], outlook: null }))).toEqual([]);
  });

  it("tell of sugar that has fallen, tree by tree, and not of trees that differ", () => {
    const dayMs = 86_400_000;
    const measured = (treeId: string, day: number, brix: number) => ({
      treeId,
      atMs: day * dayMs,
      brix,
    });
    const sugarKinds = (sugars: ReturnType<typeof measured>[]) =>
      kinds(seasonHints({ days: daysOf(sound), outlook: null, sugars }));
    const falling = [0, 7, 14, 21, 28].map((day) => measured("gate", day, 2.2 - day * 0.05));
    expect(sugarKinds(falling)).toEqual(["sugar"]);
    const hints = seasonHints({ days: daysOf(sound), outlook: null, sugars: falling });
    expect(hints.hints[0]?.text).toContain("fallen to 1.2 °Bx");
    expect(sugarKinds(falling.slice(0, 4))).toEqual([]);
    expect(sugarKinds(falling.map((one) => ({ ...one, brix: one.brix + 1 })))).toEqual([]);
    const apart = [2.4, 2, 1.6, 1.2, 1].map((brix, index) =>
      measured(`t${index}`, index * 7, brix),
    );
    expect(sugarKinds(apart)).toEqual([]);
  });

  it("are seldom wrong about vigour when only chance moves the yield", () => {
    let called = 0;
    for (let seed = 1; seed <= 60; seed += 1) {
      const random = createRandom(seed);
      const litres = Array.from({ length: 30 }, () => 3 * Math.exp(0.5 * random.gaussian()));
      called += Number(
        kinds(seasonHints({ days: daysOf(litres), outlook: null })).includes("vigour"),
      );
    }
    expect(called / 60).toBeLessThan(0.2);
  });

  it("count degree days over 10 C, and never make of them alone a verdict", () => {
    // Means of 13 C: 3 degree days a day.
    const warm = (count: number) =>
      daysOf(new Array<null>(count).fill(null), { lowC: 8, highC: 18 });
    const cold = daysOf([4, 4, 4]);
    const later = (count: number) =>
      seasonHints({ days: [...warm(count), ...cold], outlook: null });
    expect(kinds(later(4))).toEqual([]);
    expect(later(5).hints[0]).toMatchObject({ kind: "buds", sure: "weak" });
    expect(later(5).hints[0]?.text).toContain("15 degree days");
    expect(later(10).hints[0]?.text).toContain("opening");
    expect(later(300).probability).toBeLessThan(0.5);
  });

  it("miss the frost, weakly without a forecast and fairly with one", () => {
    const days = [...daysOf(sound), ...daysOf([1, 1, 1], { lowC: 1, highC: 7 })];
    const outlook = { hours: 144, lowC: 0.5 };
    expect(seasonHints({ days, outlook: null }).hints).toMatchObject([
      { kind: "no-frost", sure: "weak" },
    ]);
    expect(seasonHints({ days, outlook }).hints).toMatchObject([
      { kind: "no-frost", sure: "fair" },
    ]);
    expect(kinds(seasonHints({ days, outlook: { hours: 144, lowC: -2 } }))).toEqual([]);
    expect(seasonHints({ days, outlook: { hours: 20, lowC: 2 } }).hints[0]?.sure).toBe("weak");
    const unheard = days.map((day) => ({ ...day, lowC: null, highC: null }));
    expect(kinds(seasonHints({ days: unheard, outlook }))).toEqual([]);
  });

  it("warn of warm days", () => {
    const days = [...daysOf(sound), ...daysOf([1, 1, 1], { lowC: 5, highC: 15 })];
    expect(kinds(seasonHints({ days, outlook: null }))).toContain("warmth");
  });

  it("always give a probability, whatever the days", () => {
    const day = fc.record({
      day: fc.constant("2026-03-01"),
      litresPerBucket: fc.option(fc.double({ min: 0, max: 30, noNaN: true })),
      lowC: fc.option(fc.double({ min: -30, max: 25, noNaN: true })),
      highC: fc.option(fc.double({ min: -30, max: 35, noNaN: true })),
    });
    fc.assert(
      fc.property(fc.array(day, { maxLength: 60 }), (days) => {
        const { probability, hints } = seasonHints({ days, outlook: null });
        expect(probability).toBeGreaterThan(0);
        expect(probability).toBeLessThan(1);
        for (const { text } of hints) expect(text).not.toMatch(/NaN|Infinity/);
      }),
    );
  });
});

describe("the alarm of the season's end", () => {
  const hint = { kind: "no-frost", sure: "fair", text: "No frost" } as const;
  const season = (probability: number, count: number): SeasonHints => ({
    probability,
    frostThawDays: 20,
    hints: new Array(count).fill(hint),
  });
  const look = (open: Episode[], seen: SeasonHints | undefined) =>
    stepEpisodes(open, yardOf(seen === undefined ? {} : { season: seen }), Date.UTC(2026, 3, 1));

  it("is advice, raised by two hints that make it likely, and kept a little longer", () => {
    expect(look([], season(0.9, 1)).raised).toEqual([]);
    expect(look([], season(0.49, 2)).raised).toEqual([]);
    const { open, raised } = look([], season(0.6, 2));
    expect(raised).toMatchObject([
      { kind: "ending", severity: "advice", text: "The season may be ending. No frost" },
    ]);
    expect(look(open, season(0.4, 1)).open).toHaveLength(1);
    expect(look(open, season(0.3, 1)).cleared).toHaveLength(1);
    expect(look(open, season(0.6, 0)).cleared).toHaveLength(1);
  });

  it("stays as it was when the season is not looked at", () => {
    const { open } = look([], season(0.6, 2));
    expect(look(open, undefined)).toMatchObject({ cleared: [], changed: [] });
    expect(look(open, undefined).open).toHaveLength(1);
  });
});
