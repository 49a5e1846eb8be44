// One bucket under watch: its record, where it hung when, its track, and what was last thought of it.
import { gFromVolumeL } from "../../shared/sap/density.ts";
import { gFromKg } from "../../shared/units.ts";
import type { Bucket } from "../../shared/wire/records.ts";
import type { Hanging } from "../db/hangings.ts";
import type { BucketSetup } from "../domain/bucket.ts";
import { startTrack, type Track } from "../domain/track.ts";
import type { Assessment } from "./assess.ts";

export type Watched = {
  bucket: Bucket;
  /** Oldest first. */
  hangings: Hanging[];
  track: Track;
  /** Readings from here on have to be gone through again. */
  againFromMs: number | undefined;
  checkpointMs: number;
  /** Time of the newest reading that alarms were looked for with: the past is not judged twice. */
  judgedMs: number;
  assessment: Assessment | undefined;
  /** Inflow of the running local day. */
  today: { dayKey: string; inflowG: number } | undefined;
};

export function startWatched(bucket: Bucket, hangings: Hanging[]): Watched {
  return {
    bucket,
    hangings,
    track: startTrack(),
    againFromMs: undefined,
    checkpointMs: 0,
    judgedMs: 0,
    assessment: undefined,
    today: undefined,
  };
}

export function setupFrom(hanging: Pick<Hanging, "capacityL" | "emptyG">): BucketSetup {
  return { emptyG: hanging.emptyG, capacityG: gFromVolumeL(hanging.capacityL) };
}

/** Where the bucket hangs now. */
export function presentHanging(watched: Watched): Hanging | undefined {
  return watched.hangings.find(({ untilMs }) => untilMs === null);
}

/** How the bucket hangs now, as its record has it. */
export function presentSetup({ bucket }: Watched): BucketSetup {
  return setupFrom({ capacityL: bucket.capacityL, emptyG: gFromKg(bucket.emptyKg) });
}
