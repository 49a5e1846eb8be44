// How long a temperature that was measured in a vessel still says something.
import { expect, test } from "vitest";
import type { MeasuredTemp } from "../../../../server/domain/vessels/standing.ts";
import { latestTemp } from "../../../../server/domain/vessels/vessel-keeping.ts";

const hourMs = 3_600_000;
const at = (hour: number, from: MeasuredTemp["from"]): MeasuredTemp => ({
  atMs: hour * hourMs,
  tempC: hour,
  from,
});

test("a probe's holds for three hours, a typed one's for twelve", () => {
  expect(latestTemp([at(0, "probe")], 3 * hourMs)?.tempC).toBe(0);
  expect(latestTemp([at(0, "probe")], 3 * hourMs + 1)).toBeUndefined();
  expect(latestTemp([at(0, "typed")], 12 * hourMs)?.tempC).toBe(0);
  expect(latestTemp([at(0, "typed")], 12 * hourMs + 1)).toBeUndefined();
});

test("the last one up to now counts, none of later", () => {
  const measured = [at(1, "typed"), at(2, "probe"), at(4, "typed")];
  expect(latestTemp(measured, 3 * hourMs)?.tempC).toBe(2);
  expect(latestTemp(measured, hourMs - 1)).toBeUndefined();
});
