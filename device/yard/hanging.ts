// A bucket as it hangs on its cell: filled by the tree, touched by people, weighed by the cell.
import { type Bucket, createBucket } from "./bucket.ts";
import type { TouchEdge } from "./handling.ts";
import type { Lid } from "./lid.ts";
import type { SimulatedBucket } from "./plan.ts";
import type { Tape, TruthRecord } from "./truth.ts";

/** Buckets with less than this are left for another day. */
const worthGatheringG = 400;

export type Hanging = {
  bucket: Bucket;
  /** What rests on the cell: 0 while the bucket is away. */
  grossG(): number;
  fill(massG: number, untilMs: number): void;
  /** True when the bucket was hung back by it. */
  touch(edge: TouchEdge): boolean;
};

type EventKind = Exclude<TruthRecord["kind"], "reading">;

export function createHanging(
  planned: SimulatedBucket,
  { lid, tape }: { lid: Lid; tape: Tape | undefined },
): Hanging {
  const { board, cell } = planned;
  const bucket = createBucket(planned);
  let pressingG = 0;
  let brimming = false;
  const tell = (kind: EventKind, atMs: number, massG: number) =>
    tape?.({ kind, atMs, board, cell, massG });

  function press({ atMs, begins, touch }: TouchEdge): false {
    pressingG = begins ? touch.massG : 0;
    if (begins) tell(touch.kind === "bump" ? "bumped" : "leaned", atMs, touch.massG);
    return false;
  }

  function takeOff(edge: TouchEdge): boolean {
    const gathers = edge.touch.kind === "gather";
    if (!edge.begins) return bucket.isAway() && hangBack(edge, gathers);
    if (!gathers || bucket.sapG() > worthGatheringG) bucket.lift();
    return false;
  }

  function hangBack({ atMs, touch }: TouchEdge, gathers: boolean): true {
    if (gathers) lid.shed();
    tell(gathers ? "gathered" : "lifted", atMs, gathers ? bucket.empty(touch.massG) : 0);
    bucket.hangBack();
    return true;
  }

  return {
    bucket,
    grossG: () =>
      bucket.isAway() ? 0 : planned.emptyKg * 1000 + bucket.sapG() + lid.snowG() + pressingG,
    fill(massG, untilMs) {
      const { lostG } = bucket.add(massG);
      if (lostG > 0 && !brimming) tell("brimmed", untilMs, lostG);
      brimming = lostG > 0;
    },
    touch(edge) {
      const presses = edge.touch.kind === "bump" || edge.touch.kind === "lean";
      return presses ? press(edge) : takeOff(edge);
    },
  };
}
