// Sap standing in a vessel: its temperature and count an hour on, by the air or by what was measured in it.
import { volumeLFromG } from "../../../shared/sap/density.ts";
import { msPerHour } from "../../../shared/units.ts";
import type { VesselPlace } from "../../../shared/wire/vessels.ts";
import { countAfter, growthPerH, medianFlora, mostPerMl } from "../keeping/growth.ts";
import { memberFloras } from "../keeping/members.ts";
import type { SapBody } from "../keeping/mixing.ts";
import { enthalpyOfLiquidJ, sapFreezesC, sapNode, stepEnthalpyJ } from "../keeping/temperature.ts";

/** A temperature that was measured in the sap. */
export type MeasuredTemp = { atMs: number; tempC: number; from: "probe" | "typed" };

export type Surrounding = {
  /** Null when no air temperature is known. */
  airC: (atMs: number) => number | null;
  place: VesselPlace;
  /** In order of time. */
  measured: readonly MeasuredTemp[];
};

const stepMs = msPerHour;
/** A cooler or a snow bank (own estimate; sap keeps in it like in a refrigerator). */
const coolerC = 4;
/** What the sun adds to the air around a vessel, averaged over day and night (own estimate). */
const sunAddsC = 3;

/** The temperature around a vessel: the air, the air and some sun, or a cooler's; null when unknown. */
export function aroundC({ airC, place }: Surrounding, atMs: number): number | null {
  if (place === "cooler") return coolerC;
  const air = airC(atMs);
  if (air === null) return null;
  return place === "sun" ? air + sunAddsC : air;
}

/**
 * The same sap later, from fromMs to toMs, in steps of an hour and at each measurement. What was
 * measured in it sets its temperature; between measurements it follows what is around it. Without
 * any temperature around it, it stays as warm as it is.
 */
export function stood(
  body: SapBody,
  { fromMs, toMs }: { fromMs: number; toMs: number },
  around: Surrounding,
): SapBody {
  let next = body;
  let atMs = fromMs;
  while (atMs < toMs) {
    const measured = around.measured.find((one) => one.atMs > atMs && one.atMs <= toMs);
    const endMs = Math.min(toMs, atMs + stepMs, measured?.atMs ?? toMs);
    const after = stoodOnce(next, { atMs, endMs }, around);
    next = measured?.atMs === endMs ? withTemp(after, measured.tempC) : after;
    atMs = endMs;
  }
  return next;
}

function stoodOnce(
  body: SapBody,
  { atMs, endMs }: { atMs: number; endMs: number },
  around: Surrounding,
): SapBody {
  const dtH = (endMs - atMs) / msPerHour;
  const massG = body.netG;
  const before = sapNode(body.enthalpyJ, massG);
  const airC = aroundC(around, (atMs + endMs) / 2);
  const enthalpyJ =
    airC === null
      ? body.enthalpyJ
      : stepEnthalpyJ({
          enthalpyJ: body.enthalpyJ,
          massG,
          airC,
          inflowGPerH: 0,
          inflowC: sapFreezesC,
          dtH,
        });
  const after = sapNode(enthalpyJ, massG);
  const tempC = (before.tempC + after.tempC) / 2;
  const liquid = 1 - (before.iceFraction + after.iceFraction) / 2;
  const most = mostPerMl * volumeLFromG(massG) * 1000;
  const counts = body.counts.map((count, member) => {
    const ratePerH = growthPerH(tempC, memberFloras[member] ?? medianFlora) * liquid;
    return Math.min(countAfter(count, { ratePerH, inflowPerH: 0, dtH }), most);
  });
  return { ...body, enthalpyJ, counts };
}

/** The same sap as warm as it was measured; at freezing and below nothing is known of its ice. */
function withTemp(body: SapBody, tempC: number): SapBody {
  if (tempC <= sapFreezesC) return body;
  return { ...body, enthalpyJ: enthalpyOfLiquidJ(tempC, body.netG) };
}
