// The ten days of half-hour inflow that a bucket remembers.
import { describe, expect, it } from "vitest";
import {
  addToHistory,
  flowAtStep,
  historyStepMs,
  startHistory,
} from "../../../../server/domain/brim/history.ts";
import { daytimeRun, historyOf, nowMs, slotOf } from "./fixtures.ts";

const stepOf = (atMs: number) => Math.floor(atMs / historyStepMs);
const tenMinutesMs = 600_000;

describe("flow history", () => {
  it("means the three slots of a half hour, whose end belongs to it", () => {
    const startMs = nowMs;
    let history = startHistory();
    for (const [index, flow] of [60, 120, 240].entries()) {
      history = addToHistory(history, slotOf(startMs + (index + 1) * tenMinutesMs, flow));
    }
    expect(history.flowGPerH).toHaveLength(1);
    expect(flowAtStep(history, stepOf(startMs))).toBe(140);
  });

  it("keeps a gap as unknown, not as zero", () => {
    const first = addToHistory(startHistory(), slotOf(nowMs + tenMinutesMs, 100));
    const later = addToHistory(first, slotOf(nowMs + 3 * historyStepMs + tenMinutesMs, 50));
    expect(later.flowGPerH).toEqual([100, null, null, 50]);
    expect(flowAtStep(later, stepOf(nowMs) + 1)).toBeNull();
    expect(flowAtStep(later, stepOf(nowMs) - 1)).toBeNull();
  });

  it("forgets what is older than ten days and stays small as JSON", () => {
    const history = historyOf(14, daytimeRun(1234));
    expect(history.flowGPerH).toHaveLength(480);
    expect(stepOf(nowMs) - history.firstStep).toBe(480);
    expect(JSON.stringify(history).length).toBeLessThan(2500);
  });

  it("starts anew after a silence longer than ten days", () => {
    const old = historyOf(2, () => 100);
    const anew = addToHistory(old, slotOf(nowMs + 11 * 86_400_000, 70));
    expect(anew.flowGPerH).toEqual([70]);
  });

  it("leaves a slot older than its newest half hour out", () => {
    const history = historyOf(1, () => 100);
    expect(addToHistory(history, slotOf(nowMs - 5 * 3_600_000, 900))).toBe(history);
  });

  it("takes the flow as the least where a bucket at the rim hides what came in", () => {
    const full = slotOf(nowMs + tenMinutesMs, 300, { full: true, inflowG: 0 });
    expect(addToHistory(startHistory(), full).flowGPerH).toEqual([300]);
    const noisy = slotOf(nowMs + tenMinutesMs, 5, { inflowG: -1 });
    expect(addToHistory(startHistory(), noisy).flowGPerH).toEqual([-6]);
  });

  it("goes on the same after a round trip through JSON, and changes nothing it was given", () => {
    const history = historyOf(1, daytimeRun(200));
    const before = structuredClone(history);
    const slot = slotOf(nowMs + tenMinutesMs, 10);
    const direct = addToHistory(history, slot);
    expect(addToHistory(JSON.parse(JSON.stringify(history)), slot)).toEqual(direct);
    expect(history).toEqual(before);
  });
});
