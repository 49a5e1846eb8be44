// What the next round comes to in a sentence.
import { expect, test } from "vitest";
import { roundSentence } from "../../../shared/people/round.ts";
import type { NextRound } from "../../../shared/wire/rounds.ts";

const stop = {
  bucketId: "gate",
  volumeL: 7,
  loadKg: 7.06,
  leavesL: 0,
  distanceM: 20,
  isGuess: false,
  carriedKg: 7.06,
  eachHandKg: 3.53,
  minutes: 2,
  why: "more than half full",
};

function round(trips: number, stops: number): NextRound {
  const trip = {
    stops: Array.from({ length: stops }, () => stop),
    loadKg: 7,
    homeM: 5,
    minutes: 6,
  };
  return {
    nowMs: 0,
    carryKg: 16,
    trips: Array.from({ length: trips }, () => trip),
    left: [],
    minutes: trips * 6.2,
    volumeL: 7 * trips * stops,
    vessel: null,
    guessedDistances: false,
    exact: true,
    dueIds: ["gate"],
    noRoomIds: [],
  };
}

test.each([
  [round(1, 1), "Gather 1 bucket on one trip: about 7.0 L in 7 min."],
  [round(2, 2), "Gather 4 buckets on 2 trips: about 28.0 L in 13 min."],
  [round(0, 0), "No bucket is worth the walk now."],
])("says how many, how often, how much and how long", (plan, sentence) => {
  expect(roundSentence(plan, "metric")).toBe(sentence);
});

test("says so when all of it can wait", () => {
  expect(roundSentence({ ...round(1, 2), dueIds: [] }, "metric")).toBe(
    "Nothing has to be gathered now. Worth the walk: 2 buckets on one trip, about 14.0 L in 7 min.",
  );
});

test("says it in gallons", () => {
  expect(roundSentence(round(1, 1), "us")).toContain("about 1.85 gal");
});

const barrel = { vesselId: "barrel", label: "Barrel", freeL: 0.02 };

test("asks for room first where none is left, and names what stays behind for want of it", () => {
  const full = { ...round(0, 0), dueIds: [], noRoomIds: ["well", "gate"], vessel: barrel };
  expect(roundSentence(full, "metric")).toBe(
    "Make room first: Barrel has room for 0.0 L, too little for any of 2 buckets.",
  );
  const short = { ...round(1, 1), noRoomIds: ["well"], vessel: { ...barrel, freeL: 8 } };
  expect(roundSentence(short, "metric")).toBe(
    "Gather 1 bucket on one trip: about 7.0 L in 7 min. Then Barrel has no room for 1 bucket more.",
  );
});
