// Keeps what was gathered from a bucket, as its cell saw it, with the sap as it was then.
import { volumeLFromG } from "../../shared/sap/density.ts";
import type { GatheringStore } from "../db/gatherings.ts";
import type { PourStore } from "../db/pours.ts";
import type { FlowEvent } from "../domain/bucket.ts";
import { gatheredG } from "../domain/flow/events.ts";
import type { Announcer } from "./announcer.ts";
import type { VesselDesk } from "./vessel-desk.ts";
import type { Watched } from "./watched.ts";

export type KeepParts = {
  gatherings: GatheringStore;
  pours: PourStore;
  vesselDesk: VesselDesk;
  announcer: Announcer;
};

export function keepGathering(parts: KeepParts, watched: Watched, event: FlowEvent): void {
  const massG = gatheredG(event);
  if (massG === undefined || watched.bucket.role === "control") return;
  const volumeL = volumeLFromG(massG);
  parts.gatherings.putDetected(watched.bucket.id, { atMs: event.atMs, volumeL });
  keepSap(parts, watched, event.atMs);
  parts.vesselDesk.changed();
  parts.announcer.vesselsChanged();
  // What was thought of the full bucket no longer holds.
  watched.assessment = undefined;
}

/** The last full ten minutes come before the bucket was seen at rest again: they know the full one. */
function keepSap({ pours }: KeepParts, { bucket, track }: Watched, atMs: number): void {
  const { netG, enthalpyJ, counts } = track.keeping;
  const sap = { netG, enthalpyJ, counts: counts.map((count) => Number(count.toPrecision(4))) };
  pours.putGatheredSap(bucket.id, atMs, JSON.stringify(sap));
}
