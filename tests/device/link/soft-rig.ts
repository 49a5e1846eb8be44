// A soft board with multiplexer, amplifiers and thermometer, and the link that reads it.
import { onTestFinished } from "vitest";
import { type Amplifier, createAmplifier } from "../../../device/chips/amplifier.ts";
import { createMux } from "../../../device/chips/tca9548a.ts";
import { createBoardLink } from "../../../device/link/board-link.ts";
import type { Dial } from "../../../device/link/dial.ts";
import { createSoftAmplifier } from "../../../device/link/soft-amplifier.ts";
import { createSoftBoard } from "../../../device/link/soft-board.ts";
import { createSoftBus, createSoftMux } from "../../../device/link/soft-bus.ts";
import { createSoftThermometer } from "../../../device/link/soft-thermometer.ts";
import { recordingLog } from "../rig.ts";

/** Soft chips and the waits for them run this much faster than real ones. */
const hurry = 10;

export const wait = (forMs: number) =>
  new Promise<void>((resolve) => setTimeout(resolve, forMs / hurry));

export const countsOfChannel = (channel: number) => 1_000_003 * channel - 3_000_000;

export function createSoftChips(nowMs: () => number = () => performance.now() * hurry) {
  const amplifiers = [0, 1, 2, 3, 4, 5, 6, 7].map((channel) =>
    createSoftAmplifier(nowMs, () => countsOfChannel(channel)),
  );
  const air = { tempC: -7.5 };
  const mux = createSoftMux(
    0x70,
    amplifiers.map(({ slave }) => [slave]),
  );
  const bus = createSoftBus([mux, createSoftThermometer(() => air.tempC)]);
  return { bus, mux, amplifiers, air };
}

export function openLink(dial: Dial, times = { timeoutMs: 300, askMs: 200 }) {
  const log = recordingLog();
  const link = createBoardLink({
    board: "hill",
    dial,
    log,
    ...times,
    waits: { leastWaitMs: 20, mostWaitMs: 100 },
  });
  onTestFinished(() => link.stop());
  const mux = createMux(link.bus);
  const amplifierOn = (channel: number) => createAmplifier({ mux, channel, wait });
  return { link, log, mux, amplifierOn };
}

export async function openSoft() {
  const chips = createSoftChips();
  const board = createSoftBoard(chips.bus);
  const opened = openLink(board.dial);
  await opened.link.start();
  await until(opened.link.isUp);
  return { board, chips, ...opened };
}

/** Looks again and again, up to a limit, for what no event tells. */
export async function until(holds: () => boolean, limitMs = 20_000): Promise<void> {
  const endMs = performance.now() + limitMs;
  while (!holds()) {
    if (performance.now() > endMs) throw new Error(`${holds} did not come true`);
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
}

export async function takeReady(amplifier: Amplifier, rest = wait) {
  for (;;) {
    const conversion = await amplifier.take();
    if (conversion.kind !== "waiting") return conversion;
    await rest(30);
  }
}
