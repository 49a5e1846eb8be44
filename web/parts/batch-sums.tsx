// Is it right? A hydrometer hot or cold, and what a batch too thin or too thick needs.
import { formatSyrup } from "../../shared/people/boil-words.ts";
import { formatMass } from "../../shared/people/format.ts";
import { quantities } from "../../shared/quantities.ts";
import { sapDensityKgPerL } from "../../shared/sap/density.ts";
import { brixInPan } from "../../shared/syrup/activity.ts";
import { adjustmentOfBatch } from "../../shared/syrup/adjust.ts";
import { densityLaws, densityVerdict } from "../../shared/syrup/density-laws.ts";
import {
  brixFromHydrometer,
  hydrometerMarksC,
  hydrometerReadingBrix,
} from "../../shared/syrup/hydrometer.ts";
import type { BoilPlan } from "../../shared/wire/syrup.ts";
import { useEntry } from "../entry.ts";
import type { PageFrame } from "../page-frame.ts";
import { EntryField } from "./entry-field.tsx";

type Props = { page: PageFrame; plan: BoilPlan };

const coldC = 20;
const leastTellingBrix = 20;
/** No hydrometer tells less. */
const rightWithinBrix = 0.05;

export function BatchSums({ page, plan }: Props) {
  return (
    <section>
      <h2>Is it right?</h2>
      <PanBrix page={page} plan={plan} />
      <Hydrometer page={page} plan={plan} />
      <Adjustment page={page} plan={plan} />
    </section>
  );
}

function PanBrix({ page, plan }: Props) {
  const reading = useEntry({ quantity: quantities.panTempC, units: page.units, optional: true });
  return (
    <>
      <h3>By the boiling pan's temperature</h3>
      <div class="form">
        <EntryField label="The boiling pan shows" entry={reading} />
      </div>
      <p class="answer" role="status">
        {panBrixWords(reading.value, plan)}
      </p>
    </>
  );
}

/** What Brix the pan has by what the thermometer shows in it, as zeroed last, at the pressure now. */
export function panBrixWords(
  readingC: Figure,
  { pressure, finishing }: Pick<BoilPlan, "pressure" | "finishing">,
): string {
  if (typeof readingC !== "number") return "";
  const tempC = readingC - (finishing.thermometer?.offsetC ?? 0);
  const brix = brixInPan({ tempC, pressurePa: pressure.pressurePa });
  if (brix === undefined) {
    return "Water doesn't boil at that yet, or the thermometer shows too little.";
  }
  if (brix < leastTellingBrix) return "Still thin: below 20 Brix the temperature tells little.";
  const spread = finishing.spreadC * (brixInPanPerC(tempC, pressure.pressurePa) ?? 0);
  return `The pan has ${brix.toFixed(1)} Brix, give or take ${spread.toFixed(1)}.`;
}

function brixInPanPerC(tempC: number, pressurePa: number): number | undefined {
  const half = 0.05;
  const above = brixInPan({ tempC: tempC + half, pressurePa });
  const below = brixInPan({ tempC: tempC - half, pressurePa });
  return above === undefined || below === undefined ? undefined : (above - below) / (2 * half);
}

function Hydrometer({ page, plan }: Props) {
  const { units } = page;
  const reading = useEntry({ quantity: quantities.hydrometerBrix, units, optional: true });
  const temp = useEntry({ quantity: quantities.syrupTempC, units, optional: true });
  return (
    <>
      <h3>By hydrometer, hot or cold</h3>
      <div class="form">
        <EntryField label="It shows (marked at 60 °F)" entry={reading} />
        <EntryField label="The syrup's temperature" entry={temp} />
      </div>
      <p class="answer" role="status">
        {hydrometerWords({ reading: reading.value, tempC: temp.value, plan })}
      </p>
    </>
  );
}

type Figure = number | null | undefined;

/** What the reading means, or what it should be at that temperature. */
export function hydrometerWords(asked: {
  reading: Figure;
  tempC: Figure;
  plan: Pick<BoilPlan, "finishing">;
}): string {
  const { reading, tempC } = asked;
  const { aimBrix, lawName, law } = asked.plan.finishing;
  if (typeof tempC !== "number") return "";
  const markedAtC = hydrometerMarksC.at60F;
  const should = hydrometerReadingBrix({ brix: aimBrix, tempC, markedAtC });
  const shouldWords = `At that temperature syrup of ${aimBrix.toFixed(1)} Brix shows ${should.toFixed(1)}.`;
  if (typeof reading !== "number") return shouldWords;
  const brix = brixFromHydrometer({ readingBrix: reading, tempC, markedAtC });
  if (brix === undefined) return `No syrup shows that. ${shouldWords}`;
  const rules = densityLaws.find(({ key }) => key === law);
  const verdict = rules === undefined ? "" : `, ${verdictWords(brix, rules)} for ${lawName}`;
  return `It is ${brix.toFixed(1)} Brix${verdict}. ${shouldWords}`;
}

/** As it is told: what a hydrometer reckons back to is off in its last digits. */
function tenthOf(brix: number): number {
  return Math.round(brix * 10) / 10;
}

function verdictWords(brix: number, rules: (typeof densityLaws)[number]): string {
  return { thin: "too thin", right: "right", thick: "too thick" }[
    densityVerdict(tenthOf(brix), rules)
  ];
}

function Adjustment({ page, plan }: Props) {
  const { units } = page;
  const volume = useEntry({ quantity: quantities.syrupL, units, optional: true });
  const brix = useEntry({ quantity: quantities.syrupBrix, units, optional: true });
  return (
    <>
      <h3>Too thin or too thick</h3>
      <div class="form">
        <EntryField label="Syrup there is" entry={volume} />
        <EntryField label="Its density" entry={brix} />
      </div>
      <p class="answer" role="status">
        {adjustmentWords({ volumeL: volume.value, brix: brix.value, plan, page })}
      </p>
    </>
  );
}

function adjustmentWords(asked: Props & { volumeL: Figure; brix: Figure }): string {
  const { volumeL, brix, plan, page } = asked;
  if (typeof volumeL !== "number" || typeof brix !== "number") return "";
  const { aimBrix } = plan.finishing;
  const batchKg = volumeL * sapDensityKgPerL({ brix, tempC: coldC });
  const thin = adjustmentOfBatch({ batchKg, batchBrix: brix, aimBrix });
  const kgPerL = sapDensityKgPerL({ brix: aimBrix, tempC: coldC });
  const result = `leaves ${formatSyrup(thin.resultKg / kgPerL, page.units)} of ${aimBrix.toFixed(1)} Brix`;
  if (Math.abs(brix - aimBrix) < rightWithinBrix) return `It is right; it ${result}.`;
  if (brix <= aimBrix) {
    return `Boil off ${formatMass(thin.boilOffKg, page.units)} of water more; it ${result}.`;
  }
  const sapBrix = plan.sap.brix;
  const withSap = adjustmentOfBatch({ batchKg, batchBrix: brix, aimBrix, thinnerBrix: sapBrix });
  return `Stir in ${formatMass(thin.addKg, page.units)} of hot water, or ${formatMass(withSap.addKg, page.units)} of sap of ${sapBrix.toFixed(1)} Brix and bring it to the boil again; it ${result}.`;
}
