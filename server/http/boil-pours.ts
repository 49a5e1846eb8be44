// Takes the sap of a boil out of the vessel it came from, and puts it back when the line is taken out.
import type { BoilEntry } from "../../shared/wire/boils.ts";
import type { BoilRecord } from "../db/boils.ts";
import type { HttpParts } from "./parts.ts";

type Parts = Pick<HttpParts, "vessels" | "pours" | "watch">;
type Poured = Pick<BoilEntry, "kind" | "vesselId" | "volumeL" | "atMs">;

/** The pour that takes a line's sap out of its vessel; null for a line without one. Throws AppError "not-found". */
export function pourToBoil(parts: Parts, entry: Poured): number | null {
  const { kind, vesselId, volumeL, atMs } = entry;
  if (kind !== "sap" || vesselId === null || volumeL === null) return null;
  parts.vessels.get(vesselId);
  const pour = { vesselId, kind: "boil" as const, intoVesselId: null, volumeL, atMs, note: null };
  const { id } = parts.pours.insert(pour);
  parts.watch.vesselsChanged();
  return id;
}

/** A corrected line corrects its pour. */
export function correctPour(parts: Parts, { pourId, volumeL, atMs }: BoilEntry): void {
  if (pourId === null) return;
  parts.pours.update(pourId, { volumeL, atMs });
  parts.watch.vesselsChanged();
}

/** The sap was never taken out after all. */
export function strikePours(parts: Parts, entries: BoilRecord["entries"]): void {
  const pourIds = entries.map(({ pourId }) => pourId).filter((id) => id !== null);
  for (const pourId of pourIds) parts.pours.update(pourId, { struck: true });
  if (pourIds.length > 0) parts.watch.vesselsChanged();
}
