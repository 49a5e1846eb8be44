// The plan of the next boil: what is in hand, what it makes, how long it takes, what it burns, when to begin.
import { useEffect, useState } from "preact/hooks";
import {
  formatEvaporation,
  formatHours,
  formatSyrup,
  fuelNeedWords,
  learnedWords,
  startWords,
} from "../../shared/people/boil-words.ts";
import { formatList, formatMass, formatVolume } from "../../shared/people/format.ts";
import { quantities } from "../../shared/quantities.ts";
import { flatPanMmPerH } from "../../shared/syrup/boil.ts";
import type { Units } from "../../shared/wire/api.ts";
import type { BoilPlan } from "../../shared/wire/syrup.ts";
import { callApi } from "../api.ts";
import { problemFromError } from "../asking.ts";
import { type Entry, useEntry } from "../entry.ts";
import { formatShare } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { EntryField } from "./entry-field.tsx";
import { Outcome } from "./outcome.tsx";
import { WideTable } from "./wide-table.tsx";

export type PlanAsked = { plan: BoilPlan | undefined; problem: string | undefined };

/** Asks for the plan anew whenever what was typed, the pan's set-up or the minute changes. */
export function usePlan(body: object, again: string): PlanAsked {
  const [asked, setAsked] = useState<PlanAsked>({ plan: undefined, problem: undefined });
  const text = JSON.stringify(body);
  useEffect(() => {
    let isCurrent = true;
    callApi<BoilPlan>("POST", "/syrup/plan", JSON.parse(text)).then(
      (plan) => isCurrent && setAsked({ plan, problem: undefined }),
      (error) =>
        isCurrent && setAsked((before) => ({ ...before, problem: problemFromError(error) })),
    );
    return () => {
      isCurrent = false;
    };
  }, [text, again]);
  return asked;
}

export type PlanEntries = { volume: Entry; sugar: Entry };

export function usePlanEntries(page: PageFrame): PlanEntries {
  const { units } = page;
  return {
    volume: useEntry({ quantity: quantities.sapL, units, optional: true }),
    sugar: useEntry({ quantity: quantities.sapBrix, units, optional: true }),
  };
}

/** What was typed and can be right; what is wrong is told at its field and left out. */
export function planBody({ volume, sugar }: PlanEntries): object {
  const sap = {
    ...(typeof volume.value === "number" && { volumeL: volume.value }),
    ...(typeof sugar.value === "number" && { brix: sugar.value }),
  };
  return { sap };
}

export function PlanSection(props: { page: PageFrame; asked: PlanAsked; entries: PlanEntries }) {
  const { page, entries } = props;
  const { plan, problem } = props.asked;
  return (
    <section>
      <h2>The next boil</h2>
      {plan?.start !== undefined && plan.start !== null && (
        <p class="start-by">{startWords(plan.start, page, plan.hours?.low)}.</p>
      )}
      {plan !== undefined && plan.sap.volumeL > 0 && plan.syrup.bottledVolumeL === 0 && (
        <p class="start-by">
          Too little to light a fire for: all of its syrup would stay in pan and filter. Gather
          more, and keep this cold meanwhile.
        </p>
      )}
      <div class="form">
        <EntryField label="Sap to boil (empty: all that waits)" entry={entries.volume} />
        <EntryField label="Its sugar (empty: by the trees)" entry={entries.sugar} />
      </div>
      <Outcome sending={{ problem, done: undefined }} />
      {plan !== undefined && <PlanFacts page={page} plan={plan} />}
    </section>
  );
}

function PlanFacts({ page, plan }: { page: PageFrame; plan: BoilPlan }) {
  const { units } = page;
  const { syrup } = plan;
  return (
    <>
      <dl class="facts is-wide">
        <Fact name="sap" words={sapWords(plan, page)} />
        <Fact
          name="syrup"
          words={`${formatSyrup(syrup.syrupVolumeL, units)}, about ${formatSyrup(syrup.bottledVolumeL, units)} of it into bottles, the rest stays in pan and filter; 0.1 Brix of the sap more or less is ${formatSyrup(syrup.syrupVolumeL / plan.sap.brix / 10, units)}`}
        />
        <Fact name="water" words={`${formatMass(syrup.waterKg, units)} to drive off`} />
        <Fact name="time" words={hoursWords(plan, units)} />
        <Fact
          name="fuel"
          words={`${fuelNeedWords(plan, units)}; ${formatShare(plan.fuel.efficiency.middle)} of the heat arrives (${learnedWords(plan.fuel.efficiency.boils, "the usual share")})`}
        />
      </dl>
      <Ratios plan={plan} page={page} />
    </>
  );
}

function Fact({ name, words }: { name: string; words: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{words}</dd>
    </div>
  );
}

function sapWords({ sap }: BoilPlan, page: PageFrame): string {
  const figure = `${formatVolume(sap.volumeL, page.units)} of ${sap.brix.toFixed(1)} Brix`;
  const sugar = {
    typed: "",
    trees: " by the readings of the trees",
    usual: ", the usual; measure yours",
  }[sap.brixFrom];
  if (sap.volumeFrom === "typed") return `${figure}${sugar}`;
  const places = sap.places.map(({ label }) => label);
  const where = places.length === 0 ? "nothing waits" : `in ${formatList(places)}`;
  return `${figure}${sugar}; ${where}`;
}

function hoursWords({ hours, syrup }: BoilPlan, units: Units): string {
  if (hours === null) return "unknown until you set the size of your pan below";
  if (syrup.waterKg === 0) return "none";
  const { evaporationMmPerH: rate } = hours;
  const from = learnedWords(
    rate.boils,
    `a flat pan's usual ${formatEvaporation(flatPanMmPerH, units)}`,
  );
  const range = `${formatHours(hours.low)} to ${formatHours(hours.high)}`;
  return `${formatHours(hours.middle)}, four times of five ${range} (${from})`;
}

/** Sap to syrup exactly, and by the rules of thumb beside it. */
function Ratios({ plan, page }: { plan: BoilPlan; page: PageFrame }) {
  const { syrup, finishing } = plan;
  return (
    <details class="fold">
      <summary>
        {syrup.sapPerSyrup.toFixed(1)} of sap to one of syrup: exactly, and by the rules of thumb
      </summary>
      <WideTable label="Sap to syrup">
        <thead>
          <tr>
            <th>by</th>
            <th class="number">sap to one of syrup</th>
            <th class="number">syrup</th>
            <th>source</th>
          </tr>
        </thead>
        <tbody>
          <tr>
            <th>mass of sugar, to {finishing.aimBrix.toFixed(1)} Brix</th>
            <td class="number">{syrup.sapPerSyrup.toFixed(2)}</td>
            <td class="number">{formatSyrup(syrup.syrupVolumeL, page.units)}</td>
            <td>masses over ICUMSA densities at 20 °C</td>
          </tr>
          {syrup.rules.map((rule) => (
            <tr key={rule.factor}>
              <th>
                rule of {rule.factor}, to {rule.syrupBrix.toFixed(1)} Brix
              </th>
              <td class="number">{rule.sapPerSyrup.toFixed(2)}</td>
              <td class="number">{formatSyrup(rule.syrupVolumeL, page.units)}</td>
              <td>{rule.source}</td>
            </tr>
          ))}
        </tbody>
      </WideTable>
    </details>
  );
}
