// What filled forms ask of the server.
import { expect, it } from "vitest";
import { cellWords, freeTapIds, newBucketFrom } from "../../../web/parts/new-cell-form.tsx";
import { noticesFrom } from "../../../web/parts/notices-form.tsx";
import { eagernessWords, settingsFrom, visitTimesFrom } from "../../../web/parts/yard-form.tsx";

const cell = { cell: "hill/cell-3", massKg: 1.2, lastReadingMs: 0, fault: null, bucketId: null };
const filled = { treeId: "", label: " Gate ", taps: "2", capacity: "3", empty: "2" };

it("a newly heard cell asks whose bucket it weighs", () => {
  expect(cellWords(cell, "metric")).toBe("hill/cell-3 is weighing 1.2 kg: whose bucket is it?");
  expect(cellWords({ ...cell, massKg: null }, "us")).toBe(
    "hill/cell-3 was heard: whose bucket is it?",
  );
});

it("a new bucket is told in litres and kilograms, whatever was typed", () => {
  const bucket = newBucketFrom(filled, "hill/cell-3", "us");
  expect(bucket).toMatchObject({ label: "Gate", taps: 2, treeId: undefined });
  // 3 US gal of 3.785411784 L and 2 lb of 0.45359237 kg (NIST SP 811).
  expect(bucket?.capacityL).toBeCloseTo(11.3562, 4);
  expect(bucket?.emptyKg).toBeCloseTo(0.907185, 6);
});

it.each([{ label: " " }, { capacity: "lots" }, { empty: "" }])(
  "a form with %j says too little",
  (part) => {
    expect(newBucketFrom({ ...filled, ...part }, "hill/cell-3", "us")).toBeUndefined();
  },
);

it("visit times are read as people write them; none means any hour", () => {
  expect(visitTimesFrom("7:30, 16.30")).toEqual(["07:30", "16:30"]);
  expect(visitTimesFrom("  ")).toBeNull();
});

it("the eagerness to warn is told as the cost of a wasted trip", () => {
  expect(eagernessWords(0.14)).toBe(
    "One wasted trip costs about 1/7 of a lost bucket: warn from a chance of 14 %.",
  );
});

it("a channel left empty is switched off", () => {
  expect(noticesFrom({ smtpUrl: "", from: " ", to: "", url: "https://push.example/a" })).toEqual({
    email: null,
    webhook: { url: "https://push.example/a" },
  });
});

it("a bucket on a known tree takes its free taps, not taken or pulled ones", () => {
  const tap = (id: string, treeId: string, pulledMs: number | null = null) => ({
    id,
    treeId,
    label: id,
    tappedMs: null,
    pulledMs,
  });
  const taps = [tap("a", "oak"), tap("b", "gate"), tap("c", "gate"), tap("d", "gate", 5)];
  expect(freeTapIds(taps, "gate", ["b"])).toEqual(["c"]);
});

it("yard settings left empty are not known, and a time zone left empty is not sent", () => {
  const settings = settingsFrom({
    name: " Lane ",
    latitude: "44,5",
    longitude: "",
    altitude: "0",
    timeZone: " ",
    visits: "",
    quietFrom: "21:00",
    quietUntil: "06:30",
    units: "us",
    warnProbability: 0.2,
    wakeMe: true,
  });
  expect(settings).toMatchObject({ name: "Lane", latitude: 44.5, longitude: null, altitudeM: 0 });
  expect(settings).not.toHaveProperty("timeZone");
});
