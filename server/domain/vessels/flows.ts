// What went into and out of which vessel, in order: gatherings by the vessel being filled, and pours by hand.
import { msPerMinute } from "../../../shared/units.ts";
import type { Gathering } from "../../../shared/wire/records.ts";
import type { Pour } from "../../../shared/wire/vessels.ts";

export type Flow = {
  atMs: number;
  /** Null: from a bucket or from elsewhere. */
  fromVesselId: string | null;
  /** Null: to the boil or away. */
  intoVesselId: string | null;
  /** Null: all there is. */
  volumeL: number | null;
  gathering: Gathering | null;
  pour: Pour | null;
};

export type FlowsInput = {
  gatherings: readonly Gathering[];
  pours: readonly Pour[];
  /** In order of time: from then on gatherings go into this vessel. */
  fillings: readonly { fromMs: number; vesselId: string | null }[];
  /** What a person said of single gatherings. */
  said: readonly { bucketId: string; atMs: number; vesselId: string | null }[];
};

/** Nobody empties one bucket twice within five minutes: what was said of one then is of this one. */
export const sameGatheringMs = 5 * msPerMinute;

/** In order of time; gatherings before pours of the same instant. Struck ones are left out. */
export function flowsFrom({ gatherings, pours, fillings, said }: FlowsInput): Flow[] {
  const gathered = gatherings.flatMap((gathering): Flow[] => {
    const intoVesselId = vesselOf(gathering, { fillings, said });
    if (gathering.struck || intoVesselId === null || gathering.volumeL <= 0) return [];
    const { atMs, volumeL } = gathering;
    return [{ atMs, fromVesselId: null, intoVesselId, volumeL, gathering, pour: null }];
  });
  const poured = pours.filter(({ struck }) => !struck).map(flowOfPour);
  return [...gathered, ...poured].sort((a, b) => a.atMs - b.atMs);
}

function flowOfPour(pour: Pour): Flow {
  const { atMs, volumeL, vesselId, kind } = pour;
  const isIn = kind === "in";
  return {
    atMs,
    fromVesselId: isIn ? null : vesselId,
    intoVesselId: isIn ? vesselId : pour.intoVesselId,
    volumeL,
    gathering: null,
    pour,
  };
}

/** The vessel that a gathering went into: as a person said, else the one being filled then. */
export function vesselOf(
  { bucketId, atMs }: Pick<Gathering, "bucketId" | "atMs">,
  { fillings, said }: Pick<FlowsInput, "fillings" | "said">,
): string | null {
  const near = said
    .filter((one) => one.bucketId === bucketId && Math.abs(one.atMs - atMs) <= sameGatheringMs)
    .sort((a, b) => Math.abs(a.atMs - atMs) - Math.abs(b.atMs - atMs));
  const [nearest] = near;
  if (nearest !== undefined) return nearest.vesselId;
  return fillings.findLast(({ fromMs }) => fromMs <= atMs)?.vesselId ?? null;
}
