// One bucket under watch: its record, where it hung when, its track, and what was last thought of it.
import { gFromVolumeL } from "../../shared/sap/density.ts";
import { gFromKg } from "../../shared/units.ts";
import type { Bucket } from "../../shared/wire/records.ts";
import { type Hanging, onPresentCell } from "../db/hangings.ts";
import type { BucketSetup } from "../domain/bucket.ts";
import type { WetNow } from "../domain/rain/wet.ts";
import { startTrack, type Track } from "../domain/track.ts";
import type { Assessment } from "./assess.ts";

export type Watched = {
  bucket: Bucket;
  /** Oldest first. */
  hangings: Hanging[];
  /** When a person washed it, oldest first. */
  washedMs: readonly number[];
  track: Track;
  /** Readings from here on have to be gone through again. */
  againFromMs: number | undefined;
  /** Stored readings are still being gone through: the track is as of its last one, not of now. */
  isBehind: boolean;
  /** Time of the first reading that is dated later than now and waits until then. */
  waitsForMs: number | undefined;
  checkpointMs: number;
  /** Time of the newest reading that alarms were looked for with: the past is not judged twice. */
  judgedMs: number;
  assessment: Assessment | undefined;
  /** Inflow of the running local day. */
  today: { dayKey: string; inflowG: number } | undefined;
  /** What fell into it or onto its lid at last sight, and the rain in it since it was emptied. */
  wet: WetNow | undefined;
  rainG: number;
};

type HungMake = Pick<Hanging, "capacityL" | "emptyG" | "sunShare">;

export function startWatched(records: Pick<Watched, "bucket" | "hangings" | "washedMs">): Watched {
  return {
    ...records,
    track: startTrack(),
    againFromMs: undefined,
    isBehind: false,
    waitsForMs: undefined,
    checkpointMs: 0,
    judgedMs: 0,
    assessment: undefined,
    today: undefined,
    wet: undefined,
    rainG: 0,
  };
}

export function setupFrom({ capacityL, emptyG, sunShare }: HungMake): BucketSetup {
  return { emptyG, capacityG: gFromVolumeL(capacityL), sunShare };
}

/** The setup at an instant of the past, with the last washing up to then. */
export function setupAt(watched: Watched, hanging: HungMake, atMs: number): BucketSetup {
  const washedMs = watched.washedMs.findLast((washed) => washed <= atMs);
  const setup = setupFrom(hanging);
  return washedMs === undefined ? setup : { ...setup, washedMs };
}

/** Where the bucket hangs now. */
export function presentHanging(watched: Watched): Hanging | undefined {
  return watched.hangings.find(({ untilMs }) => untilMs === null);
}

/** Since when it has hung on the cell that it hangs on now, however its make was changed meanwhile. */
export function onCellSinceMs({ hangings }: Pick<Watched, "hangings">): number {
  return onPresentCell(hangings)[0]?.fromMs ?? 0;
}

/** How the bucket hangs now, as its record has it. */
export function presentSetup({ bucket }: Watched): BucketSetup {
  const { capacityL, emptyKg, sunShare } = bucket;
  return setupFrom({ capacityL, emptyG: gFromKg(emptyKg), sunShare });
}
