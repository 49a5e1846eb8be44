// A whole board that isn't there, for trying the program on the wire protocol: eight soft cells in
// real time, with the noise expected of real ones.
import type { BoardDescription } from "./boards-file.ts";
import type { Dial } from "./link/dial.ts";
import { createSoftAmplifier } from "./link/soft-amplifier.ts";
import { createSoftBoard } from "./link/soft-board.ts";
import { createSoftBus, createSoftMux } from "./link/soft-bus.ts";
import { createSoftThermometer } from "./link/soft-thermometer.ts";
import type { CalibrationRecord, CalibrationStore } from "./scale/calibration-file.ts";
import { createRandom, subSeed } from "./yard/random.ts";

export const softDescription: BoardDescription = {
  name: "soft",
  port: "soft",
  mux: 0x70,
  cells: [0, 1, 2, 3, 4, 5, 6, 7].map((channel) => ({ cell: `cell-${channel + 1}`, channel })),
  thermometer: { chip: "mcp9808" },
  lampPin: 7,
};

/** A 40 kg cell of 2 mV/V at a gain of 128, ten readings a second: 35 counts of noise (0.33 g). */
export const softCell = { countsPerG: 107.374, noiseCounts: 35 } as const;

export type SoftYardSettings = {
  seed: number;
  nowMs: () => number;
  /** Weight on a cell at a time, in grams. */
  massG: (channel: number, atMs: number) => number;
  noiseCounts?: number;
};

export function zeroCountsOf(channel: number): number {
  return 20_000 * (channel - 3);
}

/** The ways to a soft board and its calibrations, in place of those of a described one. */
export function createSoftYard(settings: SoftYardSettings) {
  const { seed, nowMs, massG, noiseCounts = softCell.noiseCounts } = settings;
  const amplifiers = softDescription.cells.map(({ channel }) => {
    const random = createRandom(subSeed(seed, "soft", String(channel)));
    return createSoftAmplifier(
      nowMs,
      (atMs) =>
        zeroCountsOf(channel) +
        softCell.countsPerG * massG(channel, atMs) +
        noiseCounts * random.normal(),
    );
  });
  const mux = createSoftMux(
    softDescription.mux,
    amplifiers.map(({ slave }) => [slave]),
  );
  const { dial } = createSoftBoard(createSoftBus([mux, createSoftThermometer(() => -1.25)]));
  return { dialOf: (): Dial => dial, calibrationsOf: softCalibrations };
}

function softCalibrations(): CalibrationStore {
  const records = new Map<string, CalibrationRecord>(
    softDescription.cells.map(({ cell, channel }) => [
      cell,
      {
        zeroCounts: zeroCountsOf(channel),
        countsPerG: softCell.countsPerG,
        calibratedAtMs: 0,
        knownG: 10_000,
      },
    ]),
  );
  return { of: (cell) => records.get(cell), put: (cell, record) => void records.set(cell, record) };
}
