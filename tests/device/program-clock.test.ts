// The program on a clock that leaps hours ahead and is set right, in front of a real store: what comes in, and what doesn't.
import { expect, it, onTestFinished, vi } from "vitest";
import { createOpenLink } from "../../device/mqtt-link.ts";
import { createProgram } from "../../device/program.ts";
import type { WindowSource } from "../../device/source.ts";
import { startEmbedded } from "../helpers/mqtt-rig.ts";
import { openRig, startMs } from "../helpers/store-rig.ts";
import { recordingLog, temporaryFolder } from "./rig.ts";

const hourMs = 3_600_000;
const speed = 400;
const tickMs = 5;

/** A cell whose counts are the number of its window; of what was due long ago nothing was measured. */
function countingSource(nowMs: () => number) {
  let made = 0;
  const source: WindowSource = {
    cells: [{ cell: "cell-1", calibration: { zeroCounts: 0, countsPerG: 1 } }],
    windowAt(cell, atMs) {
      if (nowMs() - atMs > 40_000) return undefined;
      made += 1;
      return { cell, atMs, counts: [made] };
    },
    surroundingsAt: () => ({}),
  };
  return { source, made: () => made };
}

it("readings come in again as soon as a board's clock is right, at their true times, none lost or doubled", async () => {
  const rig = openRig();
  const { broker } = await startEmbedded(rig);
  const time = { upMs: 0, leapMs: 0 };
  const pump = setInterval(() => {
    time.upMs += tickMs * speed;
    rig.clock.advance(tickMs * speed);
  }, tickMs);
  const { source, made } = countingSource(() => program.nowMs());
  const systemMs = () => startMs + time.upMs + time.leapMs;
  const program = createProgram({
    clock: { nowMs: systemMs, speed },
    log: recordingLog(),
    dataFolder: temporaryFolder(),
    boards: [
      {
        name: "hill",
        source,
        openLink: createOpenLink({ url: broker.url(), board: "hill", program: "test" }),
      },
    ],
    dating: {
      systemMs,
      upMs: () => time.upMs,
      boot: "this start",
      problem: ({ nowMs, newestMs }) =>
        newestMs !== undefined && nowMs < newestMs ? "behind" : undefined,
    },
    startMs,
    presentMs: startMs,
  });
  onTestFinished(async () => {
    clearInterval(pump);
    await program.stop();
    await broker.stop();
  });
  program.start();
  program.run();
  const stored = () =>
    rig.sqlite.prepare("SELECT counts, at_ms AS atMs FROM reading ORDER BY at_ms").all() as {
      counts: number;
      atMs: number;
    }[];
  const patient = { timeout: 15_000, interval: 20 };
  await vi.waitFor(() => expect(stored().length).toBeGreaterThan(5), patient);
  time.leapMs = 5 * hourMs;
  const leaptAt = made();
  await vi.waitFor(
    () =>
      expect(rig.intake.counts().refusedPacks + rig.intake.counts().refusedRecords).toBeGreaterThan(
        15,
      ),
    patient,
  );
  time.leapMs = 0;
  const rightAt = made();
  const rightMs = startMs + time.upMs;
  await vi.waitFor(() => expect(stored().length).toBeGreaterThan(20), patient);
  await program.stop();
  const all = stored();
  const numbers = all.map(({ counts }) => counts);
  const later = all.filter(({ atMs }) => atMs >= rightMs);
  expect(all.every(({ atMs }) => atMs <= startMs + time.upMs)).toBe(true);
  // In order of time, each once, and none left out on either side of the leap.
  expect(numbers).toEqual([...new Set(numbers)].sort((a, b) => a - b));
  expect(numbers.filter((number) => number <= leaptAt)).toEqual(oneTo(leaptAt));
  expect(later.map(({ counts }) => counts)).toEqual(
    oneTo(later.length).map((number) => number + numbers.at(-1)! - later.length),
  );
  expect(later[0]!.counts).toBeLessThanOrEqual(rightAt + 2);
});

function oneTo(count: number): number[] {
  return Array.from({ length: count }, (_, at) => at + 1);
}
