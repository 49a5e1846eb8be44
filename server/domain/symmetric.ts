// The inverse of a symmetric positive definite matrix, by Cholesky's factors.

/** Throws a RangeError for a matrix that is not positive definite. */
export function inverseOf(matrix: readonly Float64Array[]): Float64Array[] {
  const factor = factorOf(matrix);
  const size = matrix.length;
  const columns = Array.from({ length: size }, (_, column) => {
    const unit = new Float64Array(size);
    unit[column] = 1;
    return backward(factor, forward(factor, unit));
  });
  return columns;
}

/** Lower triangle L with L L' = matrix. */
function factorOf(matrix: readonly Float64Array[]): Float64Array[] {
  const factor: Float64Array[] = [];
  for (const [i, given] of matrix.entries()) {
    const row = new Float64Array(matrix.length);
    for (const [j, other] of factor.entries()) {
      row[j] = ((given[j] ?? 0) - dot(row, other, j)) / (other[j] ?? 1);
    }
    const pivot = (given[i] ?? 0) - dot(row, row, i);
    if (!(pivot > 0)) throw new RangeError(`matrix requires positive pivots, got ${pivot}`);
    row[i] = Math.sqrt(pivot);
    factor.push(row);
  }
  return factor;
}

/** Product of the first so many places of two rows. */
function dot(one: Float64Array, other: Float64Array, count: number): number {
  let sum = 0;
  for (let k = 0; k < count; k += 1) sum += (one[k] ?? 0) * (other[k] ?? 0);
  return sum;
}

function forward(factor: readonly Float64Array[], right: Float64Array): Float64Array {
  const solved = new Float64Array(right.length);
  for (const [i, row] of factor.entries()) {
    solved[i] = ((right[i] ?? 0) - dot(row, solved, i)) / (row[i] ?? 1);
  }
  return solved;
}

function backward(factor: readonly Float64Array[], right: Float64Array): Float64Array {
  const solved = new Float64Array(right.length);
  for (let i = right.length - 1; i >= 0; i -= 1) {
    let sum = right[i] ?? 0;
    for (let k = i + 1; k < right.length; k += 1) sum -= (factor[k]?.[i] ?? 0) * (solved[k] ?? 0);
    solved[i] = sum / (factor[i]?.[i] ?? 1);
  }
  return solved;
}
