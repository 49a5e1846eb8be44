// The packs that the bench publishes: ten cells of one board at one instant, ten seconds from pack to pack.

export const startMs = Date.UTC(2026, 2, 1);
export const stepMs = 10_000;
export const readingsPerPack = 10;

/** How many packs in all, and by how many boards in turn. */
export type Load = { packs: number; boards: number };

/** Whose turn the pack is (from 0), and which batch of that board it is (from 1). */
export function placeOf(pack: number, boards: number): { board: number; batch: number } {
  return { board: pack % boards, batch: Math.floor(pack / boards) + 1 };
}

export function massG(cell: number, batch: number): number {
  return 2000 + cell * 100 + (batch % 3000);
}

export function packOf(board: string, batch: number): string {
  const records: object[] = [
    { bn: `${board}/`, bt: (startMs + batch * stepMs) / 1000, n: "batch", u: "count", v: batch },
    { n: "spool", vs: "bench" },
  ];
  for (let cell = 1; cell <= readingsPerPack; cell += 1) {
    records.push({ n: `cell-${cell}/mass`, u: "kg", v: massG(cell, batch) / 1000 });
  }
  return JSON.stringify(records);
}
