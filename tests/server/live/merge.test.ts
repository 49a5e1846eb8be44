// Two changes of the yard in one: the newer wins, nothing is lost, nothing comes back.
import fc from "fast-check";
import { expect, test } from "vitest";
import { mergeChange } from "../../../server/live/merge.ts";
import type { AlarmView, BoardView } from "../../../shared/wire/api.ts";
import type { YardChange } from "../../../shared/wire/live.ts";
import { bucketView } from "../../helpers/http-rig.ts";

const board = (name: string, online: boolean): BoardView => ({
  name,
  online,
  program: null,
  lastHeardMs: null,
  airC: null,
  pressurePa: null,
  supplyV: null,
  cells: [],
  probes: [],
});

const alarm = (id: number, seenAtMs: number | null): AlarmView => ({
  id,
  kind: "brim",
  subject: "gate",
  severity: "soon",
  raisedAtMs: 1,
  clearedAtMs: null,
  seenAtMs,
  text: "fills",
});

test("buckets and boards are merged entry by entry, the newer in the older's place, alarms are all told anew", () => {
  const merged = mergeChange(
    {
      nowMs: 1,
      buckets: [bucketView("gate", { volumeL: 1 }), bucketView("lane")],
      boards: [board("hill", true), board("shed", true)],
      alarms: [alarm(1, null)],
      doNow: { sentence: "Wait.", parts: [] },
    },
    {
      nowMs: 2,
      buckets: [bucketView("gate", { volumeL: 2 }), bucketView("well")],
      boards: [board("hill", false)],
      alarms: [alarm(1, 9), alarm(2, null)],
    },
  );
  expect(merged).toEqual({
    nowMs: 2,
    buckets: [bucketView("gate", { volumeL: 2 }), bucketView("lane"), bucketView("well")],
    boards: [board("hill", false), board("shed", true)],
    alarms: [alarm(1, 9), alarm(2, null)],
    doNow: { sentence: "Wait.", parts: [] },
  });
});

test("an alarm that cleared before a page saw it is not told to it", () => {
  const merged = mergeChange({ nowMs: 1, alarms: [alarm(1, null)] }, { nowMs: 2, alarms: [] });
  expect(merged).toEqual({ nowMs: 2, alarms: [] });
  expect(mergeChange({ nowMs: 1, alarms: [alarm(1, null)] }, { nowMs: 2 }).alarms).toHaveLength(1);
});

test("what neither change speaks of stays unsaid", () => {
  expect(mergeChange({ nowMs: 1 }, { nowMs: 2 })).toEqual({ nowMs: 2 });
  expect(mergeChange({ nowMs: 1 }, { nowMs: 2, gone: ["gate"] })).toEqual({
    nowMs: 2,
    gone: ["gate"],
  });
});

test("a bucket that went is gone, one that came back is not", () => {
  const went = mergeChange(
    { nowMs: 1, buckets: [bucketView("gate")] },
    { nowMs: 2, gone: ["gate"] },
  );
  expect(went).toEqual({ nowMs: 2, buckets: [], gone: ["gate"] });
  const back = mergeChange(went, { nowMs: 3, buckets: [bucketView("gate")] });
  expect(back).toEqual({ nowMs: 3, buckets: [bucketView("gate")], gone: [] });
});

/** How a page lays a change over what it shows. */
function applied(shown: Map<string, number | null>, change: YardChange) {
  const next = new Map(shown);
  for (const id of change.gone ?? []) next.delete(id);
  for (const { id, volumeL } of change.buckets ?? []) next.set(id, volumeL);
  return next;
}

test("a page shows the same after one merged change as after each by itself", () => {
  const ids = ["gate", "lane", "well"];
  const change = fc
    .record({ put: fc.dictionary(fc.constantFrom(...ids), fc.integer()), gone: fc.subarray(ids) })
    .map(
      ({ put, gone }): YardChange => ({
        nowMs: 1,
        buckets: Object.entries(put).map(([id, volumeL]) => bucketView(id, { volumeL })),
        gone: gone.filter((id) => !(id in put)),
      }),
    );
  fc.assert(
    fc.property(fc.array(change, { minLength: 1, maxLength: 6 }), (changes) => {
      const start = new Map<string, number | null>([["gate", -1]]);
      const merged = changes.reduce(mergeChange);
      const sorted = (shown: Map<string, number | null>) => [...shown].sort();
      expect(sorted(applied(start, merged))).toEqual(sorted(changes.reduce(applied, start)));
    }),
  );
});
