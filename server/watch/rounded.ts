// Figures as pages get them: no more decimals than they are sure of.

/** To so many decimals, halves up. */
export function rounded(value: number, decimals: number): number {
  const scale = 10 ** decimals;
  return Math.round(value * scale) / scale;
}
