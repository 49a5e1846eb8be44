// What may stand in one bucket over the next day and a half, from the forecast that its warnings are made of.
import { volumeLFromG } from "../../shared/sap/density.ts";
import { msPerHour } from "../../shared/units.ts";
import type { Ahead } from "../../shared/wire/curves.ts";
import { inflowQuantiles } from "../domain/brim/forecast.ts";
import { type AssessInput, estimateAt, inflowMembers } from "./assess.ts";
import type { Watched } from "./watched.ts";
import type { YardDesk } from "./yard-desk.ts";

const nothing: Ahead = { atMs: [], lowL: [], midL: [], highL: [] };

/** Empty for a bucket that is parked, hangs nowhere, catches no sap, is away or was never heard. */
export function aheadOf(yardDesk: YardDesk, watched: Watched, nowMs: number): Ahead {
  const input = yardDesk.inputOf(watched, nowMs);
  if (input === undefined || watched.bucket.parked || input.role === "control") return nothing;
  const estimate = estimateAt(input.track, input.setup, nowMs);
  return estimate === null || estimate.away ? nothing : fanFrom(input, estimate);
}

type Estimate = NonNullable<ReturnType<typeof estimateAt>>;

function fanFrom(input: AssessInput, estimate: Estimate): Ahead {
  const { p10, p50, p90 } = inflowQuantiles(inflowMembers(input, estimate));
  const nowL = volumeLFromG(estimate.netG);
  const heldL = (inflowL: readonly number[]) =>
    [0, ...inflowL].map((addedL) => Math.round((nowL + addedL) * 1000) / 1000);
  return {
    atMs: [0, ...p50].map((_, hour) => input.nowMs + hour * msPerHour),
    lowL: heldL(p10),
    midL: heldL(p50),
    highL: heldL(p90),
  };
}
