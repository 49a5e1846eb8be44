// What people do to the buckets of the accuracy yard: a bucket set to any level before dawn, and all that happens by day.
import { createRandom, subSeed } from "../../../device/yard/random.ts";

export type TouchKind = "set" | "lift" | "pour" | "bump" | "lean";

/** `valueG` is what presses on the cell, for set the sap left in, for pour what is poured off. */
export type Touch = { kind: TouchKind; fromMs: number; untilMs: number; value: number };

const hourMs = 3_600_000;

/** All touches of one bucket on one day in order, none during another. */
export function touchesOn(seed: number, dayMs: number): Touch[] {
  const random = createRandom(subSeed(seed, "touches", dayMs));
  const at = (fromH: number, untilH: number) =>
    dayMs + hourMs * (fromH + (untilH - fromH) * random.uniform());
  const set = touch("set", at(4.5, 5.8), {
    seconds: 25 + 40 * random.uniform(),
    value: 0.05 + 0.9 * random.uniform(),
  });
  const evenly = (low: number, high: number) => low + (high - low) * random.uniform();
  const some = (perDay: number, kind: TouchKind, make: () => Hold) =>
    random.uniform() < perDay ? [touch(kind, at(7, 20), make())] : [];
  const others = [
    ...some(0.15, "lift", () => ({ seconds: evenly(20, 80), value: 0 })),
    ...some(0.08, "pour", () => ({ seconds: 60, value: evenly(0.2, 0.7) })),
    ...some(0.5, "bump", () => ({ seconds: evenly(3, 13), value: 400 * random.normal() })),
    ...some(0.12, "lean", () => ({ seconds: evenly(60, 360), value: evenly(900, 3900) })),
  ];
  const all = [set, ...others].sort((a, b) => a.fromMs - b.fromMs);
  return all.filter((one, index) => one.fromMs > (all[index - 1]?.untilMs ?? 0) + 60_000);
}

type Hold = { seconds: number; value: number };

function touch(kind: TouchKind, fromMs: number, { seconds, value }: Hold): Touch {
  return { kind, fromMs, untilMs: fromMs + seconds * 1000, value };
}
