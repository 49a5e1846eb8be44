// How much of a bucket's capacity ice leaves to sap in the hours ahead: sap swells as it freezes.
import { msPerHour } from "../../../shared/units.ts";
import { sapFreezesC, sapNode, stepEnthalpyJ } from "../keeping/temperature.ts";

export type RoomInput = {
  fromMs: number;
  stepMs: number;
  steps: number;
  enthalpyJ: number;
  netG: number;
  /** The air to expect. */
  airAheadC: (atMs: number) => number;
};

/** Sap of 1.0079 kg/L as ice of 0.917 kg/L takes so much more room. */
const swelling = 1.0079 / 0.917 - 1;
/** Past this much ice, and while ice grows, it holds to the wall; else most of it floats in its own displacement [own]. */
const frozenFast = 0.6;
const floatingShare = 0.3;

/** Share of the capacity, as mass of sap and ice, that fits under the rim at each step from now on. */
export function roomShareAhead(input: RoomInput): number[] {
  const { fromMs, stepMs, steps, netG, airAheadC } = input;
  const dtH = stepMs / msPerHour;
  let enthalpyJ = input.enthalpyJ;
  let { iceFraction } = sapNode(enthalpyJ, netG);
  const shares = [shareUnder(iceFraction, false)];
  for (let step = 0; step < steps; step += 1) {
    enthalpyJ = stepEnthalpyJ({
      enthalpyJ,
      massG: netG,
      airC: airAheadC(fromMs + (step + 0.5) * stepMs),
      inflowGPerH: 0,
      inflowC: sapFreezesC,
      dtH,
    });
    const next = sapNode(enthalpyJ, netG).iceFraction;
    shares.push(shareUnder(next, next > iceFraction));
    iceFraction = next;
  }
  return shares;
}

function shareUnder(iceFraction: number, isGrowing: boolean): number {
  const fast = iceFraction > frozenFast || isGrowing ? 1 : floatingShare;
  return 1 / (1 + swelling * fast * iceFraction);
}
