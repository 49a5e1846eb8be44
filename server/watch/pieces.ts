// Reads a bucket's stored readings piece by piece, across all the cells it hung on, with the air beside them.
import type { Boards } from "../db/boards.ts";
import type { Hanging } from "../db/hangings.ts";
import type { Reading, Readings } from "../db/readings.ts";
import type { BucketReading } from "../domain/bucket.ts";

export type Piece = { hanging: Hanging; readings: Reading[] };

export const pieceReadings = 2000;
const airHoldsMs = 3_600_000;
const never = Number.MAX_SAFE_INTEGER;

/** The next readings after `afterMs` and up to `untilMs`, of one hanging; undefined when there are none. */
export function nextPiece(
  readings: Pick<Readings, "listReadings">,
  span: { hangings: readonly Hanging[]; afterMs: number; untilMs?: number },
): Piece | undefined {
  const endMs = (span.untilMs ?? never - 1) + 1;
  for (const hanging of span.hangings) {
    const { cellKey } = hanging;
    const untilMs = Math.min(hanging.untilMs ?? never, endMs);
    const fromMs = Math.max(hanging.fromMs, span.afterMs + 1);
    if (cellKey === null || untilMs <= fromMs) continue;
    const list = readings.listReadings({ cellKey, fromMs, untilMs, limit: pieceReadings });
    if (list.length > 0) return { hanging, readings: list };
  }
  return undefined;
}

/** The readings with the air temperature that its board last measured before each, if within an hour. */
export function withAir(
  { readings, boards }: { readings: Readings; boards: Pick<Boards, "findProbe"> },
  piece: Piece,
): BucketReading[] {
  const board = piece.hanging.cell?.split("/")[0] ?? "";
  const probeKey = boards.findProbe(board, "air")?.key;
  const firstMs = piece.readings[0]?.atMs ?? 0;
  const lastMs = piece.readings.at(-1)?.atMs ?? 0;
  if (probeKey === undefined) return piece.readings.map(({ atMs, massG }) => ({ atMs, massG }));
  const first = readings.temperatureAt({ probeKey, atMs: firstMs });
  const later = readings.listTemperatures({ probeKey, fromMs: firstMs + 1, untilMs: lastMs + 1 });
  const air = first === undefined ? later : [first, ...later];
  let index = -1;
  return piece.readings.map(({ atMs, massG }) => {
    while ((air[index + 1]?.atMs ?? never) <= atMs) index += 1;
    const held = air[index];
    return held !== undefined && atMs - held.atMs <= airHoldsMs
      ? { atMs, massG, airC: held.tempC }
      : { atMs, massG };
  });
}
