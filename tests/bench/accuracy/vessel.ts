// The bucket of the accuracy yard: sap, its ice, the rim that ice lowers, and snow on the lid.

import { createLid, isSnow } from "../../../device/yard/lid.ts";
import type { Weather } from "../../../device/yard/weather.ts";
import { sapNode, stepEnthalpyJ } from "../../../server/domain/keeping/temperature.ts";
import { gFromVolumeL } from "../../../shared/sap/density.ts";

export type Vessel = {
  /** Lets sap and rain in and heat out; what goes over the rim is lost and told. */
  step(input: { flowGPerH: number; weather: Weather; stepH: number }): { lostG: number };
  setSapG(sapG: number): void;
  sapG(): number;
  lidG(): number;
  shedLid(): void;
  /** What fits under the rim now. */
  roomG(): number;
};

/** Sap swells by 9.9 % as it freezes; floating ice displaces its own mass and ice frozen fast does not. */
const swelling = 1.0079 / 0.917 - 1;
const frozenFast = 0.6;
const floatingShare = 0.3;

export function createVessel(settings: { capacityL: number; rainGPerMm: number }): Vessel {
  const capacityG = gFromVolumeL(settings.capacityL);
  let sapG = 100;
  let enthalpyJ = 0;
  const lid = createLid();
  const roomG = () => {
    const { iceFraction } = sapNode(enthalpyJ, sapG);
    const fast = iceFraction > frozenFast ? 1 : floatingShare;
    return capacityG / (1 + swelling * fast * iceFraction) - sapG;
  };
  return {
    step({ flowGPerH, weather, stepH }) {
      const { airC, rainMmPerH, solarWM2 } = weather;
      lid.step(weather, stepH);
      const inG = (flowGPerH + (isSnow(weather) ? 0 : rainMmPerH * settings.rainGPerMm)) * stepH;
      enthalpyJ = stepEnthalpyJ({
        enthalpyJ,
        massG: sapG,
        airC,
        sunWPerM2: 0.5 * solarWM2,
        inflowGPerH: flowGPerH,
        inflowC: Math.min(6, Math.max(-0.11, airC)),
        dtH: stepH,
      });
      sapG += inG;
      const lostG = Math.min(sapG, Math.max(0, -roomG()));
      sapG -= lostG;
      return { lostG };
    },
    setSapG(nextG) {
      enthalpyJ *= nextG / Math.max(50, sapG);
      sapG = nextG;
    },
    sapG: () => sapG,
    lidG: lid.snowG,
    shedLid: lid.shed,
    roomG,
  };
}
