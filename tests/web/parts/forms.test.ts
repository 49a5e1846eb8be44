// What filled forms ask of the server.
import { describe, expect, it } from "vitest";
import { bucketPatch } from "../../../web/parts/bucket-form.tsx";
import {
  cellWords,
  freeTapIds,
  newBucketFrom,
  tooHeavyWords,
} from "../../../web/parts/new-bucket-form.tsx";
import { noticesFrom, wrongMail } from "../../../web/parts/notices-form.tsx";
import { eagernessWords, settingsFrom } from "../../../web/parts/yard-form.tsx";
import { parseVisitTimes } from "../../../web/visit-times.ts";

const cell = { cell: "hill/cell-3", massKg: 1.2, lastReadingMs: 0, fault: null, bucketId: null };
const filled = { treeId: "", label: " Gate ", taps: "2" };
const figures = { capacityL: 11.36, emptyKg: 0.9, sinceMs: null };

it("a newly heard cell asks whose bucket it weighs", () => {
  expect(cellWords(cell, "metric")).toBe("hill/cell-3 is weighing 1.2 kg: whose bucket is it?");
  expect(cellWords({ ...cell, massKg: null }, "us")).toBe(
    "hill/cell-3 was heard: whose bucket is it?",
  );
});

it("a new bucket is told with its name trimmed and its figures as they are", () => {
  const bucket = newBucketFrom(filled, figures, "hill/cell-3");
  expect(bucket).toEqual({ cell: "hill/cell-3", label: "Gate", taps: 2, ...figures });
});

it("a bucket without a name says too little", () => {
  expect(newBucketFrom({ ...filled, label: " " }, figures, "hill/cell-3")).toBeUndefined();
});

describe("changing a bucket", () => {
  const bucket = {
    label: "Gate",
    cell: "hill/cell-3",
    tapIds: ["a", "b"],
    sunShare: 1,
    role: "sap" as const,
  };
  const same = { value: 12, isChanged: false };
  const untouched = { ...bucket, sun: "1", capacity: same, empty: same, since: { value: null } };

  it("what nobody touched is not sent", () => {
    expect(bucketPatch(bucket, { ...untouched, tapIds: ["b", "a"] }, [])).toEqual({});
  });

  it("figures, taps, cell and since when are sent as they were said", () => {
    const fields = {
      label: "Gate ",
      cell: "",
      tapIds: ["a"],
      sun: "0.5",
      role: "control",
      capacity: { value: 15.1, isChanged: true },
      empty: same,
      since: { value: 1000 },
    };
    expect(bucketPatch(bucket, fields, [])).toEqual({
      capacityL: 15.1,
      cell: null,
      tapIds: ["a"],
      sunShare: 0.5,
      role: "control",
      fromMs: 1000,
    });
  });

  it("a cell that carries another bucket is swapped with it", () => {
    const others = [
      { id: "gate", cell: "hill/cell-3" },
      { id: "well", cell: "hill/cell-4" },
    ];
    const patch = (cell: string) => bucketPatch(bucket, { ...untouched, cell }, others);
    expect(patch("hill/cell-4")).toEqual({ cell: "hill/cell-4", swapWith: "well" });
    expect(patch("hill/cell-5")).toEqual({ cell: "hill/cell-5" });
  });
});

it.each([
  ["7:30, 16.30", ["07:30", "16:30"]],
  ["17, 7:30", ["07:30", "17:00"]],
  ["7am and 5.30 pm", ["07:00", "17:30"]],
  ["12 am; 12pm", ["00:00", "12:00"]],
  ["7, 7:00", ["07:00"]],
  ["  ", null],
])("visit times are read as people write them: %s", (text, times) => {
  expect(parseVisitTimes(text)).toEqual({ ok: true, value: times });
});

it.each(["noonish", "25", "7:65", "13pm"])("%s is no time of day, and is named", (text) => {
  expect(parseVisitTimes(text)).toMatchObject({
    ok: false,
    problem: expect.stringContaining(text),
  });
});

it("an empty weight beyond what hangs on the cell is refused, unless nothing hangs there yet", () => {
  expect(tooHeavyWords(cell, 1.25, "metric")).toBeUndefined();
  expect(tooHeavyWords(cell, 6, "metric")).toContain("weighs 1.2 kg with the bucket on it");
  expect(tooHeavyWords({ ...cell, massKg: 0.02 }, 6, "metric")).toBeUndefined();
  expect(tooHeavyWords({ ...cell, massKg: null }, 6, "metric")).toBeUndefined();
});

it("the eagerness to warn is told as the cost of a wasted trip", () => {
  expect(eagernessWords(0.14)).toBe(
    "One wasted trip costs about 1/7 of a lost bucket: warn from a chance of 14 %.",
  );
});

it("mail that can't go out is said in words before the server is asked", () => {
  const filled = { smtpUrl: "", from: "", to: "", url: "" };
  expect(wrongMail(filled)).toBeUndefined();
  expect(wrongMail({ ...filled, to: "me@yard.example" })).toMatch(/^The mail server is written/);
  expect(wrongMail({ ...filled, smtpUrl: "mail.example" })).toMatch(/^The mail server is written/);
  expect(wrongMail({ ...filled, smtpUrl: "smtp://mail.example" })).toMatch(/comes from$/);
  const server = { smtpUrl: "smtps://mail.example", from: "yard@yard.example" };
  expect(wrongMail({ ...filled, ...server })).toBeUndefined();
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
    aroundCm: null,
    heightCm: null,
    bitMm: null,
    depthMm: null,
    slopeDegrees: null,
    woodTempC: null,
  });
  const taps = [tap("a", "oak"), tap("b", "gate"), tap("c", "gate"), tap("d", "gate", 5)];
  expect(freeTapIds(taps, "gate", ["b"])).toEqual(["c"]);
});

it("yard settings left empty are not known, and a time zone left empty is not sent", () => {
  const said = {
    name: " Lane ",
    timeZone: " ",
    visits: "",
    quietFrom: "21:00",
    quietUntil: "06:30",
    units: "us" as const,
    warnProbability: 0.2,
    wakeMe: true,
  };
  const settings = settingsFrom(said, {
    latitude: 44.5,
    longitude: null,
    altitudeM: 0,
    visitTimes: null,
  });
  expect(settings).toMatchObject({ name: "Lane", latitude: 44.5, longitude: null, altitudeM: 0 });
  expect(settings).not.toHaveProperty("timeZone");
});
