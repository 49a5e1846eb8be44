// What the board sends is what the server reads: packs of the board through the server's own parser.
import { expect, it } from "vitest";
import { batchBodyFrom, formatPack } from "../../device/pack.ts";
import { parsePack } from "../../shared/wire/pack.ts";

const atMs = Date.UTC(2026, 2, 1, 12, 0, 0, 250);
const head = { board: "hill", spool: "a1b2", batch: 7, skipped: 0 };

function bodyOf(count: number) {
  const readings = Array.from({ length: count }, (_, at) => ({
    cell: `cell-${(at % 6) + 1}`,
    atMs: atMs + at * 5_000,
    massKg: 7.312 + at / 1000,
    spreadKg: 0.004,
    counts: 784_123 + at,
  }));
  const surroundings = [{ atMs: atMs + 1_000, airC: -1.25, pressurePa: 98_120, supplyV: 12.4 }];
  const body = batchBodyFrom({ readings, surroundings });
  if (body === undefined) throw new Error("expected a body");
  return body;
}

it("is read by the server without a refusal, to the millisecond and the gram", () => {
  const body = bodyOf(3);
  const pack = parsePack(formatPack({ ...head, skipped: 2 }, body), {
    board: "hill",
    nowMs: atMs + 60_000,
  });
  if (!pack.ok) throw new Error(pack.problem);
  const text = JSON.stringify(pack.value);
  expect(pack.value).toMatchObject({ spool: "a1b2", batch: 7, skipped: 2, refusals: [] });
  expect(text).toContain(String(atMs + 5_000));
  expect(text).toContain("784124");
  expect(text).toContain("98120");
  expect(text).toContain("-1.25");
});

it("stays below 64 kB with as many windows as a board puts in one pack", () => {
  expect(Buffer.byteLength(formatPack(head, bodyOf(250)))).toBeLessThan(64_000);
});

it("is no pack when nothing was read", () => {
  expect(batchBodyFrom({ readings: [], surroundings: [] })).toBeUndefined();
});
