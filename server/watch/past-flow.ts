// Gathers a bucket's weights stretch by stretch as its track goes through them, and smooths the flow of each.
import type { BucketReading } from "../domain/bucket.ts";
import { restedWeight } from "../domain/flow/flow.ts";
import { type Rested, smoothedFlows } from "../domain/flow/smooth.ts";
import { meanIfNotNegative } from "../domain/flow/truncated.ts";
import type { Track } from "../domain/track.ts";

export type PastFlow = { flowGPerH: number; lowGPerH: number; highGPerH: number };

const ninetyPercent = 1.645;
const longestGapMs = 3 * 3_600_000;

export function createPastFlow() {
  const stretches: Rested[][] = [];
  let place = "";
  return {
    /** The track as it was after this reading. */
    add(track: Track, reading: BucketReading): void {
      const weight = restedWeight(track.flow, reading);
      if (weight === undefined) return;
      const last = stretches.at(-1);
      const lastMs = last?.at(-1)?.atMs ?? 0;
      const at = `${track.hangingId} ${track.flow.steppedMs}`;
      if (last === undefined || at !== place || reading.atMs - lastMs > longestGapMs) {
        stretches.push([weight]);
      } else last.push(weight);
      place = at;
    },
    /** By the time of the reading; only where weights before and after it were taken for sap. */
    flows(): Map<number, PastFlow> {
      return new Map(
        stretches.flatMap((stretch) =>
          smoothedFlows(stretch).map(({ flowGPerH, sdGPerH }, index) => {
            const shownGPerH = meanIfNotNegative(flowGPerH, sdGPerH);
            const flow: PastFlow = {
              flowGPerH: shownGPerH,
              lowGPerH: Math.max(0, flowGPerH - ninetyPercent * sdGPerH),
              highGPerH: Math.max(shownGPerH, flowGPerH + ninetyPercent * sdGPerH),
            };
            return [stretch[index]?.atMs ?? 0, flow] as const;
          }),
        ),
      );
    },
  };
}
