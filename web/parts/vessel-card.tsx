// One vessel: how full, what is in it and how it keeps, and what can be done with it.
import type { VesselView } from "../../shared/wire/vessels.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import type { PageFrame } from "../page-frame.ts";
import { vesselFacts } from "../vessel-words.ts";
import { Outcome } from "./outcome.tsx";
import { VesselBook } from "./vessel-book.tsx";
import { PourForm, TemperatureForm, VesselForm } from "./vessel-forms.tsx";

export function VesselCard({ vessel, page }: { vessel: VesselView; page: PageFrame }) {
  const sending = useSending();
  const act = (method: "POST" | "PATCH", path: string, body: unknown) =>
    sending.send(async () => {
      await callApi(method, `/vessels/${vessel.id}${path}`, body);
      await page.refresh();
    });
  return (
    <article class={vessel.parked ? "vessel is-parked" : "vessel"} aria-label={vessel.label}>
      <header class="vessel-head">
        <Level vessel={vessel} />
        <div>
          <h3>{vessel.label}</h3>
          <p class="vessel-say">{sayOf(vessel)}</p>
        </div>
      </header>
      <dl class="facts">
        {vesselFacts(vessel, page).map(([name, words]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{words}</dd>
          </div>
        ))}
      </dl>
      <p class="row-ways">
        {!vessel.filling && (
          <button type="button" onClick={() => act("PATCH", "", { filling: true, parked: false })}>
            Gatherings go in here from now on
          </button>
        )}
        {vessel.dirty && (
          <button type="button" onClick={() => act("POST", "/notes", { kind: "washed" })}>
            It was washed
          </button>
        )}
      </p>
      <Outcome sending={sending} />
      <details>
        <summary>Pour</summary>
        <PourForm vessel={vessel} page={page} />
      </details>
      <details>
        <summary>Temperature and changes</summary>
        <TemperatureForm vessel={vessel} page={page} />
        <VesselForm vessel={vessel} page={page} />
        <button type="button" onClick={() => act("PATCH", "", { parked: !vessel.parked })}>
          {vessel.parked ? "Take it out again" : "Put it away for the season"}
        </button>
      </details>
      <VesselBook vessel={vessel} page={page} />
    </article>
  );
}

function sayOf(vessel: VesselView): string {
  const says = [
    ...(vessel.parked ? ["Put away"] : []),
    ...(vessel.filling ? ["Being filled: gatherings go in here"] : []),
    ...(vessel.useFirst ? ["Boil this one first"] : []),
    ...(vessel.fullFraction > 1 ? ["More was poured in than it holds"] : []),
    ...(vessel.dirty && vessel.volumeL < 0.05 ? ["Wash it before you fill it"] : []),
  ];
  return says.join(". ");
}

/** A plain tub, filled to its level. */
function Level({ vessel }: { vessel: VesselView }) {
  const filled = Math.min(1, vessel.fullFraction);
  const top = 56 - 44 * filled;
  const inset = 3 * filled;
  return (
    <svg class="level" viewBox="0 0 64 64" aria-hidden="true">
      {filled > 0 && (
        <path class="level-sap" d={`M${10 - inset} ${top} H${54 + inset} L54 56 H10Z`} />
      )}
      <path class="level-tub" d="M6 10 L10 56 H54 L58 10" />
    </svg>
  );
}
