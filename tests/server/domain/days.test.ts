// The day's sum of slots: sap, peak, onset, cover.
import { describe, expect, it } from "vitest";
import type { Slot } from "../../../server/domain/bucket.ts";
import { dayFromSlots } from "../../../server/domain/days.ts";

const midnightMs = Date.UTC(2026, 2, 14);
const dayKey = "2026-03-14";

/** Slots end at each ten minutes after midnight; one flow a slot, undefined for none. */
function slotsFrom(flows: readonly (number | undefined)[], fromMs = midnightMs): Slot[] {
  return flows.flatMap((flowGPerH, index) =>
    flowGPerH === undefined
      ? []
      : [
          {
            atMs: fromMs + (index + 1) * 600_000,
            netG: 1000,
            inflowG: flowGPerH / 6,
            flowGPerH,
            lowGPerH: flowGPerH - 10,
            highGPerH: flowGPerH + 10,
            full: false,
          },
        ],
  );
}

const times = <T>(count: number, value: T): T[] => Array.from({ length: count }, () => value);

describe("a day's sum", () => {
  it("adds up inflow, keeps the peak, and counts the time heard", () => {
    const slots = slotsFrom([...times(72, 0), ...times(36, 600), ...times(36, 6)]);
    const day = dayFromSlots(slots, { dayKey });
    expect(day.dayKey).toBe(dayKey);
    expect(day.inflowG).toBeCloseTo(36 * 100 + 36, 9);
    expect(day.peakGPerH).toBe(600);
    expect(day.coveredMs).toBe(86_400_000);
    expect(day.lowerBound).toBe(false);
    expect(day.onsetMs).toBe(midnightMs + 12 * 3_600_000);
  });

  it("without a slot is nothing", () => {
    const nothing = { dayKey, inflowG: 0, peakGPerH: 0, coveredMs: 0, lowerBound: false };
    expect(dayFromSlots([], { dayKey })).toEqual(nothing);
  });

  it("is a lower bound when any slot was at the rim", () => {
    const [slot] = slotsFrom([100]);
    expect(dayFromSlots([{ ...slot!, full: true }], { dayKey }).lowerBound).toBe(true);
  });

  it("covers gaps up to an hour and no more", () => {
    const gap = (count: number) => [0, ...times(count, undefined), 0];
    expect(dayFromSlots(slotsFrom(gap(5)), { dayKey }).coveredMs).toBe(7 * 600_000);
    expect(dayFromSlots(slotsFrom(gap(6)), { dayKey }).coveredMs).toBe(2 * 600_000);
  });
});

describe("the onset of a run", () => {
  const onsetMs = (flows: (number | undefined)[], before?: Slot[]) =>
    dayFromSlots(slotsFrom(flows), { dayKey, ...(before === undefined ? {} : { before }) }).onsetMs;

  it("needs half an hour of running", () => {
    expect(onsetMs([...times(30, 0), 50, 50, ...times(30, 0)])).toBeUndefined();
    expect(onsetMs([...times(30, 0), 50, 50, 50, 0])).toBe(midnightMs + 5 * 3_600_000);
  });

  it("needs two idle hours before it, flickers aside", () => {
    expect(onsetMs([...times(11, 0), ...times(9, 50)])).toBeUndefined();
    expect(onsetMs([...times(12, 0), ...times(9, 50)])).toBe(midnightMs + 2 * 3_600_000);
    expect(onsetMs([...times(12, 0), 50, 0, 0, ...times(4, 50)])).toBe(
      midnightMs + 2.5 * 3_600_000,
    );
  });

  it("is the first of the day", () => {
    const twice = [...times(12, 0), ...times(6, 50), ...times(13, 0), ...times(6, 50)];
    expect(onsetMs(twice)).toBe(midnightMs + 2 * 3_600_000);
  });

  it("is none when it ran over midnight, and counts when the evening before was idle", () => {
    const eveningMs = midnightMs - 3 * 3_600_000;
    expect(onsetMs(times(20, 50), slotsFrom(times(18, 50), eveningMs))).toBeUndefined();
    expect(onsetMs(times(20, 50), slotsFrom(times(18, 0), eveningMs))).toBe(midnightMs);
  });

  it("is not told after hours nobody heard", () => {
    expect(onsetMs([...times(20, 0), ...times(10, undefined), ...times(9, 50)])).toBeUndefined();
  });
});
