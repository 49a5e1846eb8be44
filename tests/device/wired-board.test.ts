// A wired board: windows of every cell, a fault wherever there is no weight, and back again.
import { expect, it } from "vitest";
import { createBoard } from "../../device/board.ts";
import type { BatchBody } from "../../device/pack.ts";
import { countsOfChannel, until } from "./link/soft-rig.ts";
import { openWired, steadyMs } from "./wired-rig.ts";

const slow = 30_000;

it(
  "gives ten readings of every cell, and the air",
  async () => {
    const { board } = await openWired();
    const found = await Promise.all(board.source.cells.map(({ cell }) => board.next(cell)));
    expect(found).toEqual(
      [0, 1, 2, 3, 4, 5, 6, 7].map((channel) => ({
        counts: Array.from({ length: 10 }, () => countsOfChannel(channel)),
      })),
    );
    await until(() => board.source.surroundingsAt(steadyMs()).airC === -7.5);
  },
  slow,
);

it(
  "says absent, saturated and stuck, of those cells alone, and weighs again when it is mended",
  async () => {
    const { board, chips } = await openWired();
    await board.next("cell-1");
    chips.amplifiers[0]!.set({ isThere: false });
    chips.amplifiers[1]!.set({ counts: () => 1e9 });
    chips.amplifiers[2]!.set({ isDead: true });
    const cells = ["cell-1", "cell-2", "cell-3", "cell-4"];
    expect(await Promise.all(cells.map(board.next))).toMatchObject([
      { fault: "absent" },
      { fault: "saturated" },
      { fault: "stuck" },
      { counts: expect.anything() },
    ]);
    chips.amplifiers[0]!.set({ isThere: true });
    chips.amplifiers[1]!.set({ counts: () => 77 });
    chips.amplifiers[2]!.set({ isDead: false });
    expect((await Promise.all(cells.map(board.next))).every((found) => "counts" in found)).toBe(
      true,
    );
  },
  slow,
);

it(
  "sets a chip up again that lost its set-up, and publishes nothing of it meanwhile",
  async () => {
    const { board, chips } = await openWired();
    await board.next("cell-5");
    chips.amplifiers[4]!.loseSetUp();
    expect(await board.next("cell-5")).toEqual({
      counts: Array.from({ length: 10 }, () => countsOfChannel(4)),
    });
  },
  slow,
);

it(
  "says absent while the link is cut for longer than a window, then weighs again",
  async () => {
    const { board, soft } = await openWired();
    await board.next("cell-1");
    soft.cut(true);
    expect(await board.next("cell-1")).toEqual({ fault: "absent" });
    expect(await board.next("cell-8")).toEqual({ fault: "absent" });
    soft.cut(false);
    await until(board.link.isUp);
    await board.next("cell-1");
    expect(await board.next("cell-8")).toMatchObject({ counts: expect.anything() });
  },
  slow,
);

it(
  "makes a pack of masses where it is calibrated and of faults where it isn't, with the air",
  async () => {
    const { board, calibrations } = await openWired();
    calibrations.put("cell-1", {
      zeroCounts: countsOfChannel(0) - 107_000,
      countsPerG: 107,
      calibratedAtMs: 0,
      knownG: 10_000,
    });
    await board.next("cell-8");
    const bodies: BatchBody[] = [];
    const firstMs = Math.floor(steadyMs() / 5_000) * 5_000;
    const { collect } = createBoard({
      source: board.source,
      outbox: { append: (body) => void bodies.push(body) },
      firstMs,
      stepMs: 30_000,
      surroundingsStepMs: 30_000,
    });
    await until(() => board.source.surroundingsAt(steadyMs()).airC !== undefined);
    collect(firstMs);
    const records = bodies.flatMap((body) => body.records);
    expect(records).toContainEqual(expect.objectContaining({ n: "cell-1/mass", u: "kg", v: 1 }));
    expect(records).toContainEqual(
      expect.objectContaining({ n: "cell-1/counts", v: countsOfChannel(0) }),
    );
    expect(records).toContainEqual(
      expect.objectContaining({ n: "cell-2/fault", vs: "uncalibrated" }),
    );
    expect(records).toContainEqual(expect.objectContaining({ n: "probe/air", u: "Cel", v: -7.5 }));
    expect(records.some(({ n }) => n === "cell-2/mass")).toBe(false);
  },
  slow,
);

it(
  "gives a window once, and none for a time that has long gone by",
  async () => {
    const { board } = await openWired();
    await board.next("cell-1");
    const nowMs = steadyMs();
    expect(board.source.windowAt("cell-1", nowMs - 60_000)).toBeUndefined();
    expect(board.source.windowAt("cell-1", nowMs)).toBeDefined();
    expect(board.source.windowAt("cell-1", nowMs)).toBeUndefined();
  },
  slow,
);
