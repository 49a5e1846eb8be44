// One sweep through all cells of a board: ten readings of each, going round while chips convert.
import type { CellReader } from "./cell-reader.ts";

/** Ten conversions take a second; this leaves room for eight cells and a slow link. */
const mostMs = 3_000;
const restMs = 15;

export type SweepTools = { nowMs: () => number; wait: (forMs: number) => Promise<void> };

export async function sweep(readers: readonly CellReader[], tools: SweepTools): Promise<void> {
  const prepared = await Promise.all(
    readers.map(async (reader) => ((await reader.prepare()) ? [reader] : [])),
  );
  let busy = prepared.flat();
  const endMs = tools.nowMs() + mostMs;
  while (busy.length > 0 && tools.nowMs() < endMs) {
    const still: CellReader[] = [];
    for (const reader of busy) if (await reader.gather()) still.push(reader);
    busy = still;
    if (busy.length > 0) await tools.wait(restMs);
  }
}
