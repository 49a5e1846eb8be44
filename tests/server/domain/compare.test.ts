// Trees against each other: sums, and a strength that is fair to trees not heard every day.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type BucketDay, type ComparedTree, compareTrees } from "../../../server/domain/compare.ts";
import { strengthsOf, type TreeDay } from "../../../server/domain/strength.ts";
import { gFromVolumeL } from "../../../shared/sap/density.ts";
import { compareSchema } from "../../../shared/wire/api.ts";
import { createRandom } from "../../helpers/random.ts";

const toronto = "America/Toronto";
const dayMs = 86_400_000;

function tree(treeId: string, taps: number, buckets = [`${treeId}-bucket`]): ComparedTree {
  return {
    treeId,
    label: treeId,
    taps,
    hangings: buckets.map((bucketId) => ({ bucketId, taps: taps / buckets.length })),
    sugarBrix: null,
  };
}

function bucketDay(bucketId: string, day: string, volumeL: number): BucketDay {
  return {
    bucketId,
    day,
    inflowG: gFromVolumeL(volumeL),
    coveredMs: dayMs,
    lowerBound: false,
  };
}

describe("trees compared", () => {
  const trees = [tree("north", 1), tree("south", 2, ["left", "right"])];
  const rows = [
    bucketDay("north-bucket", "2026-03-14", 2),
    bucketDay("left", "2026-03-14", 3),
    bucketDay("right", "2026-03-14", 3),
    bucketDay("north-bucket", "2026-03-15", 1),
  ];

  it("sums volumes by tree and tap, and shares them out", () => {
    const [north, south] = compareTrees(rows, trees, toronto);
    expect(north).toMatchObject({ treeId: "north", bucketIds: ["north-bucket"], taps: 1 });
    expect(north!.volumeL).toBeCloseTo(3, 9);
    expect(south!.volumeL).toBeCloseTo(6, 9);
    expect(south!.perTapL).toBeCloseTo(3, 9);
    expect(north!.share).toBeCloseTo(1 / 3, 9);
    expect(south!.bucketIds).toEqual(["left", "right"]);
    expect(north!.days.map(({ day }) => day)).toEqual(["2026-03-14", "2026-03-15"]);
    expect(south!.days[0]!.volumeL).toBeCloseTo(6, 9);
    expect(south!.days[1]!.volumeL).toBeNull();
  });

  it("fits the wire", () => {
    const answer = { fromMs: 1, toMs: 2, trees: compareTrees(rows, trees, toronto) };
    expect(compareSchema.safeParse(answer).success).toBe(true);
  });

  it("leaves a bucket's days with the tree it hung on", () => {
    const moved: ComparedTree[] = [
      { ...tree("old", 1), hangings: [{ bucketId: "b", taps: 1, throughDay: "2026-03-14" }] },
      { ...tree("new", 1), hangings: [{ bucketId: "b", taps: 1, fromDay: "2026-03-15" }] },
    ];
    const days = [bucketDay("b", "2026-03-14", 4), bucketDay("b", "2026-03-15", 1)];
    const [old, fresh] = compareTrees(days, moved, toronto);
    expect(old!.volumeL).toBeCloseTo(4, 9);
    expect(fresh!.volumeL).toBeCloseTo(1, 9);
  });

  it("says nothing where nothing is known", () => {
    const [north] = compareTrees([], [tree("north", 0)], toronto);
    expect(north).toMatchObject({
      volumeL: 0,
      perTapL: null,
      share: null,
      onsetMs: null,
      strength: null,
      days: [],
    });
  });

  it("passes on that a bucket ran over", () => {
    const [north, south] = compareTrees(
      [{ ...rows[0]!, lowerBound: true }, ...rows.slice(1)],
      trees,
      toronto,
    );
    expect([north!.lowerBound, south!.lowerBound]).toEqual([true, false]);
  });

  it("puts the median onset's time of day on the last day, also over a change of clocks", () => {
    const onsets = ["2026-03-06T15:00:00Z", "2026-03-07T16:00:00Z", "2026-03-08T14:30:00Z"];
    const days = onsets.map((onset) => ({
      ...bucketDay("north-bucket", onset.slice(0, 10), 1),
      onsetMs: Date.parse(onset),
    }));
    // Local 10:00 and 11:00 EST, 10:30 EDT.
    const [north] = compareTrees(days, [tree("north", 1)], toronto);
    expect(north!.onsetMs).toBe(Date.parse("2026-03-08T14:30:00Z"));
    const [early] = compareTrees(days.slice(0, 2), [tree("north", 1)], toronto);
    expect(early!.onsetMs).toBe(Date.parse("2026-03-07T15:30:00Z"));
  });

  it("does not hold an outage against a tree", () => {
    const names = ["2026-03-10", "2026-03-11", "2026-03-12", "2026-03-13"];
    const days = names.flatMap((day) => [
      bucketDay("a-bucket", day, 4),
      bucketDay("b-bucket", day, 4),
      bucketDay("c-bucket", day, 4),
    ]);
    const cut = days.map((row) =>
      row.bucketId === "b-bucket" && row.day === "2026-03-12"
        ? { ...row, inflowG: 100, coveredMs: dayMs / 4 }
        : row,
    );
    const [a, b] = compareTrees(cut, [tree("a", 1), tree("b", 1), tree("c", 1)], toronto);
    expect(b!.strength).toBeCloseTo(a!.strength!, 9);
    expect(b!.strengthHigh! - b!.strengthLow!).toBeGreaterThan(a!.strengthHigh! - a!.strengthLow!);
  });
});

describe("strength", () => {
  const cell = (treeId: string, day: number, perTapL: number): TreeDay => ({
    treeId,
    day: `2026-03-${String(day).padStart(2, "0")}`,
    perTapL,
    lowerBound: false,
  });
  const level = (treeL: number, dayL: number) => treeL * dayL - 0.05;

  it("of balanced data is the tree's mean, drawn towards the average", () => {
    const days = [1, 2, 3, 4, 5];
    const cells = days.flatMap((day) => [
      cell("a", day, level(2, day)),
      cell("b", day, level(0.5, day)),
    ]);
    const sure = { treeSd: 0.42, restSd: 0.5, weight: 1e9 };
    const found = strengthsOf(cells, sure);
    const drawn = 5 / (5 + (0.5 / 0.42) ** 2);
    expect(Math.log(found.get("a")!.strength)).toBeCloseTo(drawn * Math.log(2), 6);
    expect(Math.log(found.get("b")!.strength)).toBeCloseTo(-drawn * Math.log(2), 6);
  });

  it("does not move when a day was better for all, nor with the order of the trees", () => {
    const trees = ["a", "b", "c"];
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0.3, max: 8, noNaN: true }), { minLength: 9, maxLength: 9 }),
        fc.double({ min: 1.1, max: 3, noNaN: true }),
        (yieldsL, factor) => {
          const cells = yieldsL.map((yieldL, index) =>
            cell(trees[index % 3]!, 1 + Math.floor(index / 3), yieldL - 0.05),
          );
          const better = cells.map((one) =>
            one.day === "2026-03-02"
              ? { ...one, perTapL: (one.perTapL + 0.05) * factor - 0.05 }
              : one,
          );
          const found = strengthsOf(cells);
          const shifted = strengthsOf(better);
          const reversed = strengthsOf([...cells].reverse());
          for (const name of trees) {
            expect(shifted.get(name)!.strength).toBeCloseTo(found.get(name)!.strength, 6);
            expect(reversed.get(name)!.strength).toBeCloseTo(found.get(name)!.strength, 6);
          }
        },
      ),
    );
  });

  it("takes a bucket that ran over for more than it held", () => {
    const cells = [1, 2, 3].flatMap((day) => [cell("a", day, 5), cell("b", day, 5)]);
    const over = cells.map((one) => (one.treeId === "a" ? { ...one, lowerBound: true } : one));
    expect(strengthsOf(over).get("a")!.strength).toBeGreaterThan(1.05);
  });

  it("ignores days without a run and a yard with one tree", () => {
    const run = [cell("a", 1, 4), cell("b", 1, 2)];
    const rest = [2, 3, 4].flatMap((day) => [cell("a", day, 0.01), cell("b", day, 0.02)]);
    expect(strengthsOf([...run, ...rest])).toEqual(strengthsOf(run));
    expect(strengthsOf(run.slice(0, 1)).size).toBe(0);
  });

  it("finds simulated trees again with a third of their days missing", () => {
    const random = createRandom(7);
    const truth = Array.from({ length: 12 }, () => 0.42 * random.gaussian());
    const mean = truth.reduce((sum, one) => sum + one, 0) / truth.length;
    const cells = Array.from({ length: 15 }, () => 0.8 + 0.6 * random.gaussian())
      .flatMap((ofDay, day) =>
        truth.map((ofTree, index) =>
          cell(`t${index}`, day + 1, Math.exp(ofDay + ofTree + 0.4 * random.gaussian()) - 0.05),
        ),
      )
      .filter(() => random.uniform() > 0.3);
    const found = strengthsOf(cells);
    const inside = truth.filter((ofTree, index) => {
      const { low, high } = found.get(`t${index}`)!;
      return low <= Math.exp(ofTree - mean) && Math.exp(ofTree - mean) <= high;
    });
    expect(inside.length).toBeGreaterThanOrEqual(10);
    const best = truth.indexOf(Math.max(...truth));
    const order = [...found].sort(([, one], [, other]) => other.strength - one.strength);
    expect(order.slice(0, 2).map(([treeId]) => treeId)).toContain(`t${best}`);
  });
});
