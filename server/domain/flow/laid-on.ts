// What came onto a bucket at once, laid on it or poured into it: said, so that nobody takes it for what ran in.
import type { FlowState } from "./state.ts";

export type LaidOn = {
  sinceMs: number;
  massG: number;
  /** It stayed long enough to count among what the bucket holds; until then it may be a hand. */
  isCounted: boolean;
};

/** Less may be snow, a lid or a hand's touch (own choice, no source). */
const leastSaidG = 500;

/** As of the last reading, which weighed `massG` gross; undefined when nothing to speak of lies there. */
export function laidOnOf({ hypotheses, loads }: FlowState, massG: number): LaidOn | undefined {
  const [first] = hypotheses;
  const excursion = first?.excursion ?? null;
  if (excursion !== null) {
    const { sinceMs, expectedG, count, steppedMs, awayCount } = excursion;
    const moreG = massG - expectedG;
    const isHeld = steppedMs !== null || count > 1;
    if (isHeld && awayCount === 0 && moreG >= leastSaidG) {
      return { sinceMs, massG: moreG, isCounted: false };
    }
  }
  const counted = loads.filter((load) => load.massG >= leastSaidG);
  const [oldest] = counted;
  if (oldest === undefined) return undefined;
  const sumG = counted.reduce((sum, load) => sum + load.massG, 0);
  return { sinceMs: oldest.atMs, massG: sumG, isCounted: true };
}
