// The order of alarms: open before past, pressing before mild, the live word over the asked.
import { expect, it } from "vitest";
import { splitAlarms } from "../../../web/views/alarms-view.tsx";
import { nowMs, sampleAlarm } from "../sample-yard.ts";

it("open alarms come by urgency, past ones by time", () => {
  const { open, past } = splitAlarms(
    [
      sampleAlarm({ id: 1, severity: "advice" }),
      sampleAlarm({ id: 2, severity: "now", raisedAtMs: nowMs - 9 }),
    ],
    [
      sampleAlarm({ id: 3, clearedAtMs: nowMs, raisedAtMs: nowMs - 99 }),
      sampleAlarm({ id: 4, clearedAtMs: nowMs, raisedAtMs: nowMs - 50 }),
    ],
  );
  expect(open.map(({ id }) => id)).toEqual([2, 1]);
  expect(past.map(({ id }) => id)).toEqual([4, 3]);
});

it("an alarm that has cleared live is past, whatever an older answer says", () => {
  const { open, past } = splitAlarms([sampleAlarm({ clearedAtMs: nowMs })], [sampleAlarm()]);
  expect(open).toEqual([]);
  expect(past).toHaveLength(1);
});
