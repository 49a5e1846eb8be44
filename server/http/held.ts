// Refuses to take more out of a vessel than can be in it.
import { mostPouredL } from "../domain/vessels/plausible-pour.ts";
import type { HttpParts } from "./parts.ts";
import { HttpProblem } from "./problem.ts";

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
  const has = `${held.volumeL.toFixed(1)} L`;
  const expected = `about what the vessel holds (${has} by its book)`;
  const message = `${held.label} holds ${has} by its book, too little to take ${volumeL.toFixed(1)} L out of it; write down first what else went in`;
  throw new HttpProblem(422, message, [{ field: "volumeL", expected, got: String(volumeL) }]);
}
