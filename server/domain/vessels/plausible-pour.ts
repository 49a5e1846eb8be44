// How much can be poured out of a vessel that is said to hold so much.

// Buckets without a cell, a pail nobody wrote down: the book may say a quarter too little, and some litres (own choice,
// no source).
const share = 1.25;
const extraL = 5;

/** The most that a person can have poured out, L; more than that is a slip of the pen. */
export function mostPouredL(saidL: number): number {
  return share * Math.max(0, saidL) + extraL;
}
