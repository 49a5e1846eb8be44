// Sap as it comes into a vessel: as it was in its bucket, or fresh where nobody knows.
import { gFromVolumeL } from "../../../shared/sap/density.ts";
import { memberCount, memberFreshPerMl } from "../keeping/members.ts";
import type { SapBody } from "../keeping/mixing.ts";
import { enthalpyOfLiquidJ } from "../keeping/temperature.ts";

const mlPerL = 1000;

/** Sap that stood in a bucket, as so much of it as was gathered. */
export function gatheredBody(inBucket: SapBody, volumeL: number): SapBody {
  const netG = gFromVolumeL(volumeL);
  const share = inBucket.netG <= 0 ? 0 : netG / inBucket.netG;
  return {
    netG,
    enthalpyJ: inBucket.enthalpyJ * share,
    counts: inBucket.counts.map((count) => count * share),
  };
}

/** Sap whose past nobody knows: as fresh from the tap, and as warm as the air. */
export function freshBody(
  volumeL: number,
  { seasonDay, weekMeanC, airC }: { seasonDay: number; weekMeanC: number; airC: number },
): SapBody {
  const netG = gFromVolumeL(volumeL);
  const counts = Array.from(
    { length: memberCount },
    (_, member) => volumeL * mlPerL * memberFreshPerMl(member, seasonDay, weekMeanC),
  );
  return { netG, enthalpyJ: enthalpyOfLiquidJ(airC, netG), counts };
}
