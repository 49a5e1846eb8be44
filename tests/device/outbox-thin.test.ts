// Thinning: one reading of each ten minutes for a cell, as it was measured, never more batches than came.
import fc from "fast-check";
import { expect, it } from "vitest";
import { thinnedBatches } from "../../device/outbox-thin.ts";
import { batchBodyFrom } from "../../device/pack.ts";

const startMs = Date.UTC(2026, 2, 1);

function bodyAt(minute: number, massKg: number, cell = "cell-1") {
  const atMs = startMs + minute * 60_000;
  const reading = { cell, atMs, massKg, spreadKg: massKg / 1000, counts: 100 * massKg };
  return batchBodyFrom({ readings: [reading], surroundings: [{ atMs, airC: -minute }] })!;
}

it("keeps the reading of median mass with its own spread, counts and time", () => {
  const bodies = [5, 1, 9, 3, 7].map((massKg, minute) => bodyAt(minute, massKg));
  const [body, ...more] = thinnedBatches(bodies);
  expect(more).toEqual([]);
  const t = body!.records[0]!.t;
  expect(body!.records).toEqual([
    { n: "cell-1/mass", u: "kg", t, v: 5 },
    { n: "cell-1/spread", u: "kg", t, v: 0.005 },
    { n: "cell-1/counts", u: "count", t, v: 500 },
    { n: "probe/air", u: "Cel", t: 120, v: -2 },
  ]);
});

it("keeps a fault only where there was no weight", () => {
  const fault = { cell: "cell-2", atMs: startMs, fault: "absent" as const };
  const other = { cell: "cell-1", atMs: startMs + 1_000, fault: "stuck" as const };
  const bodies = [bodyAt(0, 3), batchBodyFrom({ readings: [fault, other], surroundings: [] })!];
  const names = thinnedBatches(bodies).flatMap(({ records }) => records.map(({ n }) => n));
  expect(names).toContain("cell-2/fault");
  expect(names).not.toContain("cell-1/fault");
});

it("gives every ten minutes of every cell once, in no more batches than came", () => {
  const event = fc.record({
    minute: fc.integer({ min: 0, max: 200 }),
    massKg: fc.integer({ min: 0, max: 40 }),
    cell: fc.constantFrom("cell-1", "cell-2"),
  });
  fc.assert(
    fc.property(fc.array(event, { minLength: 1, maxLength: 60 }), (events) => {
      const bodies = events.map(({ minute, massKg, cell }) => bodyAt(minute, massKg, cell));
      const thinned = thinnedBatches(bodies);
      expect(thinned.length).toBeLessThanOrEqual(bodies.length);
      const slots = thinned.flatMap(({ baseS, records }) =>
        records
          .filter(({ n }) => n.endsWith("/mass"))
          .map(({ n, t = 0 }) => `${n} ${Math.floor((baseS + t) / 600)}`),
      );
      const wanted = events.map(
        ({ minute, cell }) => `${cell}/mass ${Math.floor((startMs / 60_000 + minute) / 10)}`,
      );
      expect(new Set(slots)).toEqual(new Set(wanted));
    }),
  );
});
