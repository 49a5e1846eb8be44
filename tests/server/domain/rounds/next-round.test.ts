// The next round in full: hands, trips, what is left and why, and how far it is between places.
import { describe, expect, test } from "vitest";
import {
  distancesBetween,
  guessedM,
  scaledPlaces,
} from "../../../../server/domain/rounds/distances.ts";
import { type NextRoundInput, nextRound } from "../../../../server/domain/rounds/next-round.ts";
import type { RoundBucket } from "../../../../server/domain/rounds/worth.ts";
import { nextRoundSchema } from "../../../../shared/wire/rounds.ts";

const hourMs = 3_600_000;
const nowMs = Date.UTC(2026, 2, 14, 15);

function bucket(bucketId: string, over: Partial<RoundBucket> = {}): RoundBucket {
  return {
    bucketId,
    treeId: bucketId,
    state: "running",
    hasCell: true,
    capacityL: 11,
    volumeL: 7,
    flowLPerH: 0.4,
    brim: null,
    overProbability: 0,
    due: false,
    keeping: null,
    usualL: 4,
    ...over,
  };
}

function round(buckets: RoundBucket[], over: Partial<NextRoundInput> = {}) {
  const places = [
    { place: "home", xM: 0, yM: 0 },
    ...buckets.map(({ treeId }, index) => ({
      place: `tree/${treeId}`,
      xM: 20 + 10 * index,
      yM: 5,
    })),
  ];
  const rest = {
    nowMs,
    afterMs: nowMs + 8 * hourMs,
    places,
    paced: [],
    laidOut: [],
    carryKg: 16,
    vessel: null,
  };
  const planned = nextRound({ ...rest, buckets, ...over });
  expect(nextRoundSchema.parse(planned)).toEqual(planned);
  return planned;
}

const keeping = {
  sapTempC: 3,
  iceFraction: 0,
  spentFraction: 0.5,
  boilByMs: null,
  risk: "fresh" as const,
};
const reasonOf = (planned: ReturnType<typeof round>, id: string) =>
  planned.left.find(({ bucketId }) => bucketId === id)?.why;

describe("the plan", () => {
  test("two full ones make one trip with half the load in each hand", () => {
    const planned = round([bucket("gate"), bucket("well")]);
    expect(planned.trips).toHaveLength(1);
    const [trip] = planned.trips;
    // 14 L of sap of 1.0079 kg/L.
    expect(trip!.loadKg).toBeCloseTo(14.11, 2);
    expect(trip!.stops.at(-1)).toMatchObject({ carriedKg: 14.11, eachHandKg: 7.06, leavesL: 0 });
    expect(planned).toMatchObject({ volumeL: 14, guessedDistances: false, exact: true, left: [] });
    expect(planned.minutes).toBeGreaterThan(3);
  });

  test("four full ones take two trips, none heavier than can be carried", () => {
    const planned = round(["a", "b", "c", "d"].map((id) => bucket(id)));
    expect(planned.trips).toHaveLength(2);
    for (const { loadKg } of planned.trips) expect(loadKg).toBeLessThanOrEqual(16);
  });

  test("a bucket heavier than two hands can take leaves its rest", () => {
    const planned = round([bucket("gate", { volumeL: 18, capacityL: 19 })]);
    expect(planned.trips[0]!.stops[0]).toMatchObject({ loadKg: 16, eachHandKg: 8 });
    expect(planned.trips[0]!.stops[0]!.leavesL).toBeCloseTo(18 - 16 / 1.0079, 1);
  });

  test("what the vessel has no room for is left, and says so", () => {
    const vessel = { vesselId: "can", label: "Can", freeL: 8 };
    const planned = round([bucket("gate", { state: "brimful" }), bucket("well")], { vessel });
    expect(planned.trips.flatMap(({ stops }) => stops.map(({ bucketId }) => bucketId))).toEqual([
      "gate",
    ]);
    expect(reasonOf(planned, "well")).toBe("no room for it in Can");
    expect(planned.noRoomIds).toEqual(["well"]);
  });

  test("what home says to empty is walked for, however little it brings, and is named", () => {
    const planned = round([bucket("gate", { volumeL: 0.6, due: true }), bucket("well")]);
    expect(planned.left).toEqual([]);
    expect(planned.dueIds).toEqual(["gate"]);
    expect(round([bucket("well")]).dueIds).toEqual([]);
  });

  test.each([
    [{ volumeL: 0.1 }, "next to nothing in it"],
    [{ volumeL: 0.6 }, "can wait: it brings less than the walk to it costs"],
    [{ state: "parked" as const }, "parked"],
    [{ state: "away" as const }, "off its cell now"],
    [{ state: "doubtful" as const }, "its readings make no sense: look at it"],
    [{ volumeL: null }, "not heard yet"],
    [{ keeping: { ...keeping, iceFraction: 0.8 } }, "frozen: knock the ice out, or let it thaw"],
  ])("%j is left: %s", (over, why) => {
    expect(reasonOf(round([bucket("gate", over)]), "gate")).toBe(why);
  });

  test.each([
    [{ state: "brimful" as const }, "at the rim"],
    [{ overProbability: 0.5, flowLPerH: 1 }, "may brim over before you come again"],
    [
      { keeping: { ...keeping, boilByMs: nowMs - 1 } },
      "has stood too warm for too long: smell it first",
    ],
    [
      { keeping: { ...keeping, boilByMs: nowMs + hourMs } },
      "warm sap does not keep until you come again",
    ],
    [{ state: "silent" as const }, "not heard from: as it was last known"],
    [{}, "more than half full"],
  ])("%j is gathered: %s", (over, why) => {
    expect(round([bucket("gate", over)]).trips[0]?.stops[0]?.why).toBe(why);
  });

  test("a bucket without a cell is guessed like the others", () => {
    const planned = round([bucket("gate"), bucket("well", { hasCell: false, volumeL: null })]);
    const stop = planned.trips.flatMap(({ stops }) => stops).find((one) => one.bucketId === "well");
    expect(stop).toMatchObject({ volumeL: 4, why: "no cell: guessed like the others" });
  });

  test("only the sap of a half frozen bucket is carried", () => {
    const icy = { keeping: { ...keeping, iceFraction: 0.3 } };
    expect(round([bucket("gate", icy), bucket("well", icy)]).volumeL).toBeCloseTo(9.8, 2);
  });

  test("an overflow that is likely makes a little worth the walk", () => {
    const little = { volumeL: 2.5, capacityL: 3, flowLPerH: 0.8 };
    expect(round([bucket("gate", little)]).trips).toEqual([]);
    expect(round([bucket("gate", { ...little, overProbability: 0.9 })]).trips).toHaveLength(1);
  });
});

describe("distances", () => {
  const places = [
    { place: "home", xM: 0, yM: 0 },
    { place: "tree/a", xM: 30, yM: 40 },
  ];

  test("a paced leg comes before the sketch, and the shortest way over others before a guess", () => {
    const paced = [
      { fromPlace: "home", toPlace: "tree/a", distanceM: 70 },
      { fromPlace: "tree/a", toPlace: "tree/b", distanceM: 5 },
    ];
    const asked = ["home", "tree/a", "tree/b", "tree/c"];
    const { distanceM, isKnown } = distancesBetween(asked, { places, paced });
    expect(distanceM).toEqual([
      [0, 70, 75, guessedM],
      [70, 0, 5, guessedM],
      [75, 5, 0, guessedM],
      [guessedM, guessedM, guessedM, 0],
    ]);
    expect(isKnown[0]).toEqual([true, true, true, false]);
    expect(distancesBetween(["home", "tree/a"], { places, paced: [] }).distanceM[0]).toEqual([
      0, 50,
    ]);
  });

  test("places that only stand in rows so far are good for a guess, unless they were paced", () => {
    const laidOut = ["tree/a"];
    const rows = distancesBetween(["home", "tree/a"], { places, paced: [], laidOut });
    expect(rows.distanceM[0]).toEqual([0, 50]);
    expect(rows.isKnown[0]).toEqual([true, false]);
    const paced = [{ fromPlace: "home", toPlace: "tree/a", distanceM: 70 }];
    const known = distancesBetween(["home", "tree/a"], { places, paced, laidOut });
    expect(known.distanceM[0]).toEqual([0, 70]);
    expect(known.isKnown[0]).toEqual([true, true]);
  });

  test("a sketch is drawn larger until one distance holds", () => {
    const leg = { fromPlace: "home", toPlace: "tree/a", distanceM: 25 };
    expect(scaledPlaces(places, leg)).toEqual([
      { place: "home", xM: 0, yM: 0 },
      { place: "tree/a", xM: 15, yM: 20 },
    ]);
    expect(scaledPlaces(places, { ...leg, toPlace: "tree/b" })).toBeUndefined();
    expect(scaledPlaces(places, { ...leg, toPlace: "home" })).toBeUndefined();
  });
});
