// Sap poured together: what it weighs, how warm it is and what lives in it add up.

/** A body of sap, in a bucket or a vessel: KeepingState is one. */
export type SapBody = {
  netG: number;
  /** Joules relative to all liquid at the freezing point: heat adds up, temperatures don't. */
  enthalpyJ: number;
  /** Total count of each member, not per mL: it adds up too. */
  counts: readonly number[];
};

export const noSap: SapBody = { netG: 0, enthalpyJ: 0, counts: [] };

/**
 * Two bodies poured into one: mass, heat and each member's count are the sums. Throws a RangeError for
 * counts of different members; a body without counts (noSap) fits any.
 */
export function mixed(one: SapBody, other: SapBody): SapBody {
  return {
    netG: one.netG + other.netG,
    enthalpyJ: one.enthalpyJ + other.enthalpyJ,
    counts: addedCounts(one.counts, other.counts),
  };
}

/**
 * A body taken apart: `poured` has takenG of it (held between nothing and all there is), `rest` what
 * stays; both are as warm, as icy and as old as it was.
 */
export function poured(body: SapBody, takenG: number): { poured: SapBody; rest: SapBody } {
  const share = body.netG <= 0 ? 0 : Math.min(1, Math.max(0, takenG / body.netG));
  return { poured: partOf(body, share), rest: partOf(body, 1 - share) };
}

/** The same sap, so many times as much of it. */
export function partOf({ netG, enthalpyJ, counts }: SapBody, share: number): SapBody {
  return {
    netG: netG * share,
    enthalpyJ: enthalpyJ * share,
    counts: counts.map((count) => count * share),
  };
}

function addedCounts(one: readonly number[], other: readonly number[]): readonly number[] {
  if (one.length === 0 || other.length === 0) {
    return one.length === 0 ? other : one;
  }
  if (one.length !== other.length) {
    throw new RangeError(`mixing requires the same members, got ${one.length} and ${other.length}`);
  }
  return one.map((count, member) => count + (other[member] ?? 0));
}
