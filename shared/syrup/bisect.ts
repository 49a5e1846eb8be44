// The place where a rising function meets a value, by halving.

const halvings = 60;

/** The x between low and high at which a rising function is nearest to value; the end itself beyond an end. */
export function bisectRising(
  rising: (x: number) => number,
  search: { value: number; low: number; high: number },
): number {
  let { low, high } = search;
  for (let step = 0; step < halvings; step += 1) {
    const middle = (low + high) / 2;
    if (rising(middle) < search.value) {
      low = middle;
    } else {
      high = middle;
    }
  }
  return (low + high) / 2;
}
