// Which of the stories told so far are worth keeping, and which have come to the same.
import { type Hypothesis, hasStepped, retold, settledCount } from "./hypotheses.ts";
import { logOfSum } from "./likelihood.ts";
import { massBeliefOf, massOf } from "./modes.ts";

const dropBelow = 14;
const mostKept = 6;
const mergeDeviations = 0.7;
const sameSpread = 4;

/** The hypotheses worth keeping, likeliest first, each once; at least one must be given. */
export function pruned(hypotheses: readonly Hypothesis[]): Hypothesis[] {
  const kept: Hypothesis[] = [];
  for (const hypothesis of ordered(hypotheses)) {
    const { logWeight } = hypothesis;
    const place = kept.findIndex((other) => isSameStory(other, hypothesis));
    const same = kept[place];
    if (same === undefined) kept.push(hypothesis);
    else kept[place] = retold(same, same.modes, logOfSum(same.logWeight, logWeight));
  }
  return ordered(kept).slice(0, mostKept);
}

/** Likeliest first, with weights beside the likeliest's; without those that are far less likely. */
function ordered(hypotheses: readonly Hypothesis[]): Hypothesis[] {
  const best = Math.max(...hypotheses.map(({ logWeight }) => logWeight));
  return hypotheses
    .filter(({ logWeight }) => logWeight - best > -dropBelow)
    .map((one) => retold(one, one.modes, one.logWeight - best))
    .sort((one, other) => other.logWeight - one.logWeight);
}

/**
 * Two stories are one when they stand at the same level and agree on a step, or have both settled. Without the
 * latter "a stray weight, then sap" and "a step by nothing" would stay side by side for ever.
 */
function isSameStory(one: Hypothesis, other: Hypothesis): boolean {
  if (one.taken !== other.taken || one.full !== other.full) return false;
  const haveSettled = one.sapCount >= settledCount && other.sapCount >= settledCount;
  const haveBothStepped = hasStepped(one) && hasStepped(other);
  if (!haveSettled && !haveBothStepped && one.taken !== "stray") return false;
  const spread = one.modes.run.p11 / other.modes.run.p11;
  if (!haveSettled && (spread > sameSpread || spread * sameSpread < 1)) return false;
  const { massG, p00 } = massBeliefOf(one.modes);
  return Math.abs(massG - massOf(other.modes)) < mergeDeviations * Math.sqrt(p00);
}
