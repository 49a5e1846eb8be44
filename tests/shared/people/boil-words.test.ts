// The boil in words: figures with their tenths, ranges, sources and urgency.
import { expect, it } from "vitest";
import {
  entryWords,
  formatEvaporation,
  formatFuel,
  formatHours,
  formatPanTemp,
  formatPressure,
  formatSyrup,
  lawWords,
  learnedWords,
  pressureWords,
  startWords,
  sureWords,
  watchWords,
} from "../../../shared/people/boil-words.ts";

const nowMs = Date.UTC(2026, 2, 11, 19, 40);
const time = { nowMs, timeZone: "UTC" };

it("a pan's temperature keeps its tenth in both units", () => {
  expect(formatPanTemp(103.8, "metric")).toBe("103.8 °C");
  expect(formatPanTemp(103.8, "us")).toBe("218.8 °F");
});

it("syrup, hours, fuel and pressure are told as fine as is of use", () => {
  expect([formatSyrup(2.256, "metric"), formatSyrup(22.56, "metric")]).toEqual([
    "2.26 L",
    "22.6 L",
  ]);
  expect(formatSyrup(3.785411784, "us")).toBe("1.00 gal");
  expect([0.6, 7.2, 2, 30.4].map(formatHours)).toEqual(["36 min", "7 h 12 min", "2 h", "30 h"]);
  expect(formatFuel(52.4, "wood", "metric")).toBe("52 kg");
  expect(formatFuel(4.5359237, "propane", "us")).toBe("10 lb");
  expect(formatFuel(8.25, "electricity", "us")).toBe("8.3 kWh");
  expect(formatPressure(98_123, "metric")).toBe("981.2 hPa");
});

it("the start is told with its reason, and lateness plainly", () => {
  const start = { startByMs: nowMs + 3_600_000, because: "sap" as const, lateMs: 0 };
  const ends = { boilByMs: nowMs + 7_200_000, doneByMs: null };
  expect(startWords({ ...start, ...ends }, time)).toBe(
    "Light the fire by 20:30, the sap should be boiled by 21:30",
  );
  expect(startWords({ ...start, ...ends, lateMs: 5 }, time)).toMatch(/^Light the fire now/);
});

it("sap whose time is up is not told to be boiled by a day gone by", () => {
  const boilByMs = nowMs - 30 * 3_600_000;
  const start = {
    startByMs: boilByMs,
    because: "sap" as const,
    lateMs: 5,
    boilByMs,
    doneByMs: null,
  };
  expect(startWords(start, time)).toMatch(
    /^The sap's time was up yesterday 13:4\d: smell it first, and boil it now or throw it out$/,
  );
});

it("sap that keeps over the night may wait when the evening is too short", () => {
  const doneByMs = nowMs + 2 * 3_600_000;
  const boilByMs = nowMs + 40 * 3_600_000;
  const start = { startByMs: nowMs, because: "person" as const, lateMs: 5, boilByMs, doneByMs };
  expect(startWords(start, time, 1.5)).toMatch(
    /^It may take longer than there is, to be done by 21:30: the sap keeps until .*, so it may wait for another day$/,
  );
});

it("a person's time that can't be kept is told as such", () => {
  const doneByMs = nowMs + 2 * 3_600_000;
  const start = {
    startByMs: nowMs,
    because: "person" as const,
    lateMs: 5,
    boilByMs: null,
    doneByMs,
  };
  expect(startWords(start, time, 4.3)).toMatch(
    /^It can't be done by 21:30: it takes 4 h 18 min at the least\./,
  );
  expect(startWords(start, time, 1.5)).toMatch(/^Light the fire now/);
});

it("a thermometer zeroed today makes up for a pressure that is only supposed", () => {
  const told = (from: "altitude" | "standard", thermometer: object | null) =>
    pressureWords(
      {
        pressure: { pressurePa: 96_000, spreadPa: 1500, from, board: null, heardMs: null },
        finishing: { cPerHpa: 0.028, brixPerC: 4.4, thermometer },
      } as Parameters<typeof pressureWords>[0],
      "metric",
      nowMs,
    );
  for (const from of ["altitude", "standard"] as const) {
    expect(told(from, { old: false })).toMatch(/: the thermometer zeroed today makes up for it\.$/);
    for (const thermometer of [null, { old: true }]) {
      expect(told(from, thermometer)).toMatch(/1\.8 Brix wrong\. Zero the thermometer/);
    }
  }
});

it("a pan's rate is told in the person's units", () => {
  expect([formatEvaporation(41, "metric"), formatEvaporation(41, "us")]).toEqual([
    "41 mm an hour",
    "1.6 in an hour",
  ]);
});

it("the pan is told by how near it is", () => {
  const watch = {
    brix: 64.1,
    tempC: 103,
    atMs: nowMs - 180_000,
    state: "watch" as const,
    minutesLeft: 6.2,
    minutesLow: 5,
    minutesHigh: 8,
    riseAtFinishCPerMin: 0.1,
  };
  expect(watchWords(watch, nowMs)).toBe(
    "Watch it now, and don't leave it: 64.1 Brix 3 min ago, about 6 min to go",
  );
  expect(watchWords({ ...watch, state: "ready", brix: 67 }, nowMs)).toBe(
    "Ready: draw off now: 67.0 Brix 3 min ago",
  );
  expect(watchWords({ ...watch, minutesLeft: 0 }, nowMs)).toMatch(/due now: look at it$/);
  expect(watchWords({ ...watch, state: "boiling", minutesLeft: null }, nowMs)).toBe(
    "It boils: 64.1 Brix 3 min ago",
  );
});

it("doubt and rules are told in the person's units", () => {
  const finishing = {
    ...{ spreadBrix: 0.44, brixPerC: 4.4, cPerHpa: 0.028, thermometer: null },
    ...{ lawName: "Vermont", lowestBrix: 66.9, highestBrix: 68.9, highestTempC: 104.3 },
  } as Parameters<typeof sureWords>[0]["finishing"];
  expect(sureWords({ finishing }, "metric")).toBe(
    "Sure to ±0.4 Brix: 0.1 °C is 0.4 Brix, 10 hPa of pressure 1.2.",
  );
  // 0.1 F is 0.056 C; 0.1 inHg is 3.386 hPa (NIST SP 811).
  expect(sureWords({ finishing }, "us")).toBe(
    "Sure to ±0.4 Brix: 0.1 °F is 0.2 Brix, 0.1 inHg of pressure 0.4.",
  );
  expect(lawWords({ finishing }, "us")).toMatch(/^Vermont: 66.9 to 68.9 Brix, at most 219.7 °F;/);
});

it("lines of the log say what was done", () => {
  const none = { id: 1, atMs: nowMs, volumeL: null, brix: null, tempC: null, offsetC: null };
  const entry = { ...none, pressurePa: null, amount: null, vesselId: null, pourId: null };
  expect(entryWords({ ...entry, kind: "sap", volumeL: 20, brix: 2.1 }, "wood", "metric")).toBe(
    "20.0 L of sap poured in of 2.1 Brix",
  );
  expect(entryWords({ ...entry, kind: "fuel", amount: 12 }, "wood", "metric")).toBe(
    "12 kg of wood put on",
  );
  expect(entryWords({ ...entry, kind: "pan", tempC: 101.5 }, "wood", "metric")).toBe(
    "pan at 101.5 °C",
  );
  expect(entryWords({ ...entry, kind: "drawn", volumeL: 1.5 }, "wood", "metric")).toBe(
    "1.50 L drawn off",
  );
});

it("what the rate rests on is said", () => {
  expect(learnedWords(0, "the usual")).toBe("the usual, until a logged boil says more");
  expect(learnedWords(3, "the usual")).toBe("learned from 3 boils");
});
