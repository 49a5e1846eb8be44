// The lid of a simulated bucket: snow lies on it and weighs, until it melts or somebody takes the lid off.
import type { Weather } from "./weather.ts";

export type Lid = {
  step(now: Weather, stepH: number): void;
  snowG(): number;
  shed(): void;
};

/** A millimetre of melted snow on a lid 30 cm across. */
export const snowGPerMm = 70;
/** At one degree above freezing a third of it is left after so long; twice as warm, half as long (own estimate). */
const meltKH = 3;

export function createLid(): Lid {
  let snowG = 0;
  return {
    step({ airC, rainMmPerH }, stepH) {
      if (isSnow({ airC })) snowG += rainMmPerH * snowGPerMm * stepH;
      else snowG *= Math.exp((-stepH * airC) / meltKH);
    },
    snowG: () => snowG,
    shed() {
      snowG = 0;
    },
  };
}

/** What falls is snow; else rain, which finds its way under a lid. */
export function isSnow({ airC }: Pick<Weather, "airC">): boolean {
  return airC < 0;
}
