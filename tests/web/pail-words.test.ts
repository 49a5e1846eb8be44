// What a pail says of itself, in people's words and units.
import { describe, expect, it } from "vitest";
import {
  brimWords,
  keepingAdvice,
  keepingWords,
  pailLabel,
  riskWords,
  stateWords,
} from "../../web/pail-words.ts";
import { hourMs, nowMs, sampleBucket, samplePage } from "./sample-yard.ts";

const page = samplePage();
const brim = {
  probability: 0.7,
  t10Ms: nowMs + hourMs,
  t50Ms: nowMs + 2 * hourMs,
  t90Ms: nowMs + 10 * hourMs,
};

it("speaks of the brim time only where it matters", () => {
  expect(brimWords(sampleBucket({ brim }), page)).toBe(
    "Brims about 17:30, likely 16:30 to tomorrow 2:00",
  );
  expect(brimWords(sampleBucket({ brim: null }), page)).toBeUndefined();
  expect(brimWords(sampleBucket({ brim, state: "brimful" }), page)).toBeUndefined();
});

describe("keeping in words", () => {
  const keeping = (boilByMs: number) => ({
    sapTempC: 4,
    iceFraction: 0,
    spentFraction: 0.5,
    boilByMs,
    risk: "fresh" as const,
  });

  it("says how the sap is, and nothing of a bucket without sap", () => {
    const said = { ...keeping(nowMs), sapTempC: 4.24, risk: "ageing" as const };
    const bucket = sampleBucket({ keeping: said, volumeL: 3 });
    expect(riskWords(bucket, "metric")).toBe(
      "4.2 °C by reckoning, ageing: it makes darker syrup from here on",
    );
    expect(riskWords({ ...bucket, volumeL: 0.1 }, "metric")).toBeUndefined();
    expect(riskWords({ ...bucket, keeping: null }, "metric")).toBeUndefined();
    expect(keepingAdvice).toContain("not a food-safety guarantee");
  });

  it("names the day by its whole name", () => {
    const bucket = sampleBucket({ keeping: keeping(nowMs + 20.4 * hourMs) });
    expect(keepingWords(bucket, page)).toBe("Boil by tomorrow noon");
  });

  it("says when the time is past", () => {
    expect(keepingWords(sampleBucket({ keeping: keeping(nowMs - 1) }), page)).toMatch(/^Past/);
  });

  it("says that frozen sap keeps, unless it is due within a day all the same", () => {
    const words = (hours: number) =>
      keepingWords(
        sampleBucket({ state: "frozen", keeping: keeping(nowMs + hours * hourMs) }),
        page,
      );
    expect(words(60)).toBe("Keeps while frozen");
    expect(words(20.4)).toBe("Boil by tomorrow noon");
    expect(words(-1)).toMatch(/^Past/);
  });

  it("says nothing of an empty or parked pail", () => {
    const kept = keeping(nowMs + hourMs);
    expect(keepingWords(sampleBucket({ keeping: kept, volumeL: 0.1 }), page)).toBeUndefined();
    expect(keepingWords(sampleBucket({ keeping: kept, state: "parked" }), page)).toBeUndefined();
  });
});

it("a silent pail says when it was last heard", () => {
  const bucket = sampleBucket({ state: "silent", lastReadingMs: nowMs - 2 * hourMs });
  expect(stateWords(bucket, nowMs)).toBe("Silent, last heard 2 h ago");
});

it("the label says everything that is drawn, in the units of the person", () => {
  expect(pailLabel(sampleBucket({ brim }), page, "gather")).toBe(
    "Gate. Running. 6.0 L of 12.0 L. 0.42 L/h. Brims about 17:30, likely 16:30 to tomorrow 2:00. To do: gather",
  );
  expect(pailLabel(sampleBucket(), samplePage({ units: "us" }))).toBe(
    "Gate. Running. 1.59 gal of 3.17 gal. 0.11 gal/h",
  );
});

it("an unknown volume is said to be unknown, not nought", () => {
  expect(pailLabel(sampleBucket({ state: "unheard", volumeL: null }), page)).toContain(
    "volume not known",
  );
});
