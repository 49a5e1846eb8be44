// What every view needs to know besides the yard: whose units, which zone, what time it is.
import type { Units, YardView } from "../shared/wire/api.ts";

export type PageFrame = {
  yard: YardView;
  /** The yard's time now. */
  nowMs: number;
  units: Units;
  timeZone: string;
  /** False when the link is lost: figures are old. */
  live: boolean;
  /** False for somebody who came by a viewing link: nothing is offered that the server would refuse. */
  mayChange: boolean;
  /** Asks the server for the whole yard again. */
  refresh: () => Promise<void>;
};

/** The zone of the yard, else the one this browser lives in. */
export function zoneOfYard(yard: YardView): string {
  return yard.yard.timeZone ?? Intl.DateTimeFormat().resolvedOptions().timeZone;
}

export function labelOfBucket(yard: YardView, bucketId: string): string {
  return yard.buckets.find(({ id }) => id === bucketId)?.label ?? bucketId;
}
