// When the page sounds: for news that press, not for what was there when it opened.
import { expect, it } from "vitest";
import { isNews, soundingIds } from "../../web/alarm-sound.ts";
import { nowMs, sampleAlarm } from "./sample-yard.ts";

it("only open, unseen alarms that press make a sound", () => {
  const alarms = [
    sampleAlarm({ id: 1 }),
    sampleAlarm({ id: 2, seenAtMs: nowMs }),
    sampleAlarm({ id: 3, clearedAtMs: nowMs }),
    sampleAlarm({ id: 4, severity: "advice" }),
  ];
  expect(soundingIds(alarms)).toEqual([1]);
});

it("what stood there at the first look is no news", () => {
  expect(isNews(undefined, [1])).toBe(false);
  expect(isNews(new Set([1]), [1])).toBe(false);
  expect(isNews(new Set([1]), [1, 2])).toBe(true);
});
