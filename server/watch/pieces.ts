// Reads a bucket's stored readings piece by piece, across all the cells it hung on, with the air beside them.
import { localHour } from "../../shared/local-time.ts";
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

type Air = { atMs: number; tempC: number };
type HearParts = {
  readings: Readings;
  boards: Pick<Boards, "findProbe">;
  timeZone: () => string;
};

/** The readings with the yard's hour, and the air that its board last measured before each, if within an hour. */
export function asHeard(parts: HearParts, piece: Piece): BucketReading[] {
  const air = airOver(parts, piece);
  const timeZone = parts.timeZone();
  let index = -1;
  return piece.readings.map(({ atMs, massG }) => {
    while ((air[index + 1]?.atMs ?? never) <= atMs) index += 1;
    const held = air[index];
    const airC = held !== undefined && atMs - held.atMs <= airHoldsMs ? held.tempC : undefined;
    return { atMs, massG, airC, localHour: localHour(atMs, timeZone) };
  });
}

/** What the board of the piece measured of the air while it lasts, and last before it. */
function airOver({ readings, boards }: HearParts, piece: Piece): Air[] {
  const board = piece.hanging.cell?.split("/")[0] ?? "";
  const probeKey = boards.findProbe(board, "air")?.key;
  if (probeKey === undefined) return [];
  const firstMs = piece.readings[0]?.atMs ?? 0;
  const lastMs = piece.readings.at(-1)?.atMs ?? 0;
  const first = readings.temperatureAt({ probeKey, atMs: firstMs });
  const later = readings.listTemperatures({ probeKey, fromMs: firstMs + 1, untilMs: lastMs + 1 });
  return first === undefined ? later : [first, ...later];
}
