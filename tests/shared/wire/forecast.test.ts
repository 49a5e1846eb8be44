// Tests the reading of an outlook and each of its refusals.
import { expect, test } from "vitest";
import { parseForecast } from "../../../shared/wire/forecast.ts";

const nowMs = Date.UTC(2026, 2, 14, 15);
const air = { n: "forecast/air", u: "Cel", t: 3600, v: 4 };

function forecast(...records: object[]) {
  const parsed = parseForecast(JSON.stringify(records), { nowMs });
  if (!parsed.ok) throw new Error(parsed.problem);
  return parsed.value;
}

test("air and cloud of the same hour are one hour, in order of time", () => {
  const { hours, refusals } = forecast({ ...air, t: 7200, v: 5 }, air, {
    n: "forecast/cloud",
    u: "%",
    t: 3600,
    v: 80,
  });
  expect(refusals).toEqual([]);
  expect(hours).toEqual([
    { atMs: nowMs + 3_600_000, airC: 4, cloudPercent: 80 },
    { atMs: nowMs + 7_200_000, airC: 5, cloudPercent: undefined },
  ]);
});

test.each([
  ["another name", { ...air, n: "forecast/rain" }, "name requires forecast/air or forecast/cloud"],
  ["the past", { ...air, t: -3601 }, "forecast time requires 1 h ago to 17 days ahead"],
  ["next month", { ...air, t: 18 * 86_400 }, "forecast time requires 1 h ago to 17 days ahead"],
  ["a wrong unit", { ...air, u: "F" }, 'forecast/air requires unit Cel or K, got "F"'],
  ["too much cloud", { n: "forecast/cloud", u: "%", v: 101 }, "requires 0 to 100 %, got 101"],
])("%s is refused alone", (_what, record, reason) => {
  const { hours, refusals } = forecast(record, { ...air, t: 7200 });
  expect(refusals).toHaveLength(1);
  expect(refusals[0]?.reason).toContain(reason);
  expect(hours).toHaveLength(1);
});

test("what is no SenML is refused as a whole", () => {
  expect(parseForecast("warm", { nowMs }).ok).toBe(false);
  expect(parseForecast("{}", { nowMs }).ok).toBe(false);
});

test("more times than any forecast has are refused one by one", () => {
  const count = 17 * 96 + 5;
  const records = Array.from({ length: count }, (_, index) => ({ ...air, t: index * 10 }));
  const { hours, refusals } = forecast(...records, { ...air, n: "forecast/cloud", u: "%", t: 0 });
  expect(hours).toHaveLength(17 * 96);
  expect(hours[0]?.cloudPercent).toBe(4);
  expect(refusals).toHaveLength(5);
  expect(refusals[0]?.reason).toContain("forecast requires at most 1632 times");
});
