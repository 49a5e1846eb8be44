// How much can be poured out of a vessel that is said to hold so much, and into one at all.

// Buckets without a cell, a pail nobody wrote down: the book may say a quarter too little, and some litres (own choice,
// no source).
const share = 1.25;
const extraL = 5;

/** The most that a person can have poured out, L; more than that is a slip of the pen. */
export function mostPouredL(saidL: number): number {
  return share * Math.max(0, saidL) + extraL;
}

/** The most that goes into a vessel at once, L, whatever was in it: makers and people round what one holds. */
export function mostPouredInL(capacityL: number): number {
  return share * capacityL;
}
