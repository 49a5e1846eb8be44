// What people do to the buckets of the accuracy yard: gathered in the evening or set to any level before dawn, and touched by day.
import { createRandom, type Random, subSeed } from "../../../device/yard/random.ts";

export type TouchKind = "set" | "gather" | "lift" | "pour" | "bump" | "lean";

/** `value` is what presses on the cell in g, for set and pour the share left in, for gather the rest in g. */
export type Touch = { kind: TouchKind; fromMs: number; untilMs: number; value: number };

const hourMs = 3_600_000;

/** All touches of one bucket on one day in order, none during another. */
export type Handling = (seed: number, dayMs: number) => Touch[];

/** A bucket of any level each morning: overflows as often as the warnings need to be told apart. */
export const setBeforeDawn: Handling = (seed, dayMs) => {
  const random = createRandom(subSeed(seed, "touches", dayMs));
  const at = (fromH: number, untilH: number) =>
    dayMs + hourMs * (fromH + (untilH - fromH) * random.uniform());
  const set = touch("set", at(4.5, 5.8), {
    seconds: 25 + 40 * random.uniform(),
    value: 0.05 + 0.9 * random.uniform(),
  });
  return inTurn([set, ...touchedByDay(random, at)]);
};

/** Gathered on most evenings about six, at noon when there is time, and touched by day. */
export const gatheredByEvening: Handling = (seed, dayMs) => {
  const random = createRandom(subSeed(seed, "touches", dayMs));
  const at = (fromH: number, untilH: number) =>
    dayMs + hourMs * (fromH + (untilH - fromH) * random.uniform());
  const isFree = Math.floor(dayMs / (24 * hourMs)) % 7 < 2;
  const hour = (isFree ? 12 : 18) + 0.7 * random.normal();
  const rest = { seconds: 25 + 40 * random.uniform(), value: 20 + 60 * random.uniform() };
  const gathers = random.uniform() < 0.72 ? [touch("gather", at(hour, hour), rest)] : [];
  return inTurn([...gathers, ...touchedByDay(random, at)]);
};

type At = (fromH: number, untilH: number) => number;

function touchedByDay(random: Random, at: At): Touch[] {
  const evenly = (low: number, high: number) => low + (high - low) * random.uniform();
  const some = (perDay: number, kind: TouchKind, make: () => Hold) =>
    random.uniform() < perDay ? [touch(kind, at(7, 20), make())] : [];
  return [
    ...some(0.15, "lift", () => ({ seconds: evenly(20, 80), value: 0 })),
    ...some(0.08, "pour", () => ({ seconds: 60, value: evenly(0.2, 0.7) })),
    ...some(0.5, "bump", () => ({ seconds: evenly(3, 13), value: 400 * random.normal() })),
    ...some(0.12, "lean", () => ({ seconds: evenly(60, 360), value: evenly(900, 3900) })),
  ];
}

function inTurn(touches: readonly Touch[]): Touch[] {
  const all = touches.toSorted((a, b) => a.fromMs - b.fromMs);
  return all.filter((one, index) => one.fromMs > (all[index - 1]?.untilMs ?? 0) + 60_000);
}

type Hold = { seconds: number; value: number };

function touch(kind: TouchKind, fromMs: number, { seconds, value }: Hold): Touch {
  return { kind, fromMs, untilMs: fromMs + seconds * 1000, value };
}
