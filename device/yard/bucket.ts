// A simulated bucket: fills, brims over, is lifted and emptied, and accounts for every gram.
import { sapGPerL } from "./tree.ts";

export type BucketTotals = {
  inG: number;
  collectedG: number;
  lostG: number;
  leftG: number;
};

export type Bucket = {
  /** Adds sap and rain; what does not fit, or comes while it is off its hook, is lost. */
  add(massG: number): { lostG: number };
  lift(): void;
  hangBack(): void;
  /** Pours all but a rest into the gathering pail; gives what was gathered. */
  empty(restG: number): number;
  isAway(): boolean;
  sapG(): number;
  totals(): BucketTotals;
};

export function createBucket(settings: { capacityL: number }): Bucket {
  // Ice would lower this to 0.917 of the capacity once frozen through: the simulated sap stays liquid.
  const fullG = settings.capacityL * sapGPerL;
  const totals = { inG: 0, collectedG: 0, lostG: 0 };
  let sapG = 0;
  let away = false;
  return {
    add(massG) {
      totals.inG += massG;
      const keptG = away ? 0 : Math.min(massG, fullG - sapG);
      sapG += keptG;
      totals.lostG += massG - keptG;
      return { lostG: away ? 0 : massG - keptG };
    },
    lift() {
      away = true;
    },
    hangBack() {
      away = false;
    },
    empty(restG) {
      const gatheredG = Math.max(0, sapG - restG);
      sapG -= gatheredG;
      totals.collectedG += gatheredG;
      return gatheredG;
    },
    isAway: () => away,
    sapG: () => sapG,
    totals: () => ({ ...totals, leftG: sapG }),
  };
}
