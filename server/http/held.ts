// Refuses to take more out of a vessel than can be in it, and to pour more into one than it can ever hold.
import { formatVolume } from "../../shared/people/format.ts";
import { mostPouredInL, mostPouredL } from "../domain/vessels/plausible-pour.ts";
import type { HttpParts } from "./parts.ts";
import { HttpProblem } from "./problem.ts";

const inBothUnits = (volumeL: number) =>
  `${formatVolume(volumeL, "metric")} (${formatVolume(volumeL, "us")})`;

/** `atMs` left out is now. */
type Taken = { vesselId: string | null; volumeL: number | null; atMs?: number | undefined };

/** Of what is taken out now; the past's contents are whatever the person says. Throws HttpProblem 422. */
export function requireHeld(
  { watch }: Pick<HttpParts, "watch">,
  { vesselId, volumeL, atMs }: Taken,
): void {
  if (atMs !== undefined) return;
  const held = watch.yardView().vessels.find(({ id }) => id === vesselId);
  if (held === undefined || volumeL === null) return;
  if (volumeL <= mostPouredL(held.volumeL)) return;
  const has = inBothUnits(held.volumeL);
  const expected = `about what the vessel holds (${has} by its book)`;
  const message = `${held.label} holds ${has} by its book, too little to take ${inBothUnits(volumeL)} out of it; write down first what else went in`;
  throw new HttpProblem(422, message, [{ field: "volumeL", expected, got: String(volumeL) }]);
}

/** Of one pour alone: a book that forgot what was taken out stops nobody. Throws HttpProblem 422. */
export function requireRoom(
  { watch, vessels }: Pick<HttpParts, "watch" | "vessels">,
  poured: { fromVesselId: string | null; intoVesselId: string; volumeL: number | null },
): void {
  const from = watch.yardView().vessels.find(({ id }) => id === poured.fromVesselId);
  const volumeL = poured.volumeL ?? from?.volumeL ?? 0;
  const { label, capacityL } = vessels.get(poured.intoVesselId);
  if (volumeL <= mostPouredInL(capacityL)) return;
  const message = `${label} holds ${inBothUnits(capacityL)}: ${inBothUnits(volumeL)} can’t have gone into it`;
  const expected = `about what the vessel can hold, ${capacityL}`;
  throw new HttpProblem(422, message, [{ field: "volumeL", expected, got: String(volumeL) }]);
}
