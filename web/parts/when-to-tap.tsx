// When to tap: the coming days with frost, thaw and expected sap, and how to send a forecast where there is none.
import { formatDayKey, formatTemp } from "../../shared/people/format.ts";
import { litresReason, perTapWords, whenToTapWords } from "../../shared/people/tapping-words.ts";
import type { Units } from "../../shared/wire/api.ts";
import type { ComingRuns } from "../../shared/wire/tapping.ts";
import { useAsked, useTick } from "../asking.ts";
import type { PageFrame } from "../page-frame.ts";
import { Outcome } from "./outcome.tsx";

const askEveryMs = 60_000;

export function WhenToTap({ page, isTapped }: { page: PageFrame; isTapped: boolean }) {
  const tick = useTick(askEveryMs);
  const { value, problem } = useAsked<ComingRuns>("/forecast/days", tick);
  return (
    <section>
      <h2>{isTapped ? "When it runs" : "When to tap"}</h2>
      <Outcome sending={{ problem, done: undefined }} />
      {value !== undefined && (
        <ComingRunsTold runs={value} units={page.units} isTapped={isTapped} />
      )}
    </section>
  );
}

function ComingRunsTold(props: { runs: ComingRuns; units: Units; isTapped: boolean }) {
  const { runs, units, isTapped } = props;
  return (
    <>
      <p class="tap-advice">{whenToTapWords(runs, isTapped)}</p>
      {runs.untilMs === null ? <HowToSend /> : <DayTable runs={runs} units={units} />}
    </>
  );
}

function DayTable({ runs, units }: { runs: ComingRuns; units: Units }) {
  const temp = (tempC: number | null) => (tempC === null ? "–" : formatTemp(tempC, units));
  return (
    <>
      <table class="coming-days">
        <caption class="unseen">The days ahead</caption>
        <thead>
          <tr>
            <th scope="col">Day</th>
            <th scope="col">Night</th>
            <th scope="col">By day</th>
            <th scope="col">From one tap</th>
          </tr>
        </thead>
        <tbody>
          {runs.days.map((day) => (
            <tr key={day.dayKey} class={day.runs === true ? "is-run" : ""}>
              <th scope="row">
                {formatDayKey(day.dayKey)}
                {day.runs === true && <span class="run-mark"> runs</span>}
              </th>
              <td>{temp(day.lowC)}</td>
              <td>{temp(day.highC)}</td>
              <td>{perTapWords(day, units)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <details class="why">
        <summary>Why these figures</summary>
        <p class="soft">{litresReason(runs)}</p>
      </details>
    </>
  );
}

/** One hour of an outlook, to show the form of it. */
const example = '[{"n":"forecast/air","u":"Cel","t":1772712000,"v":-3.5}]';

function HowToSend() {
  return (
    <details class="why">
      <summary>How to send one</summary>
      <p>
        Any program may send the hourly air temperature as SenML (RFC 8428): names{" "}
        <code>forecast/air</code> in <code>Cel</code> and, if it knows, <code>forecast/cloud</code>{" "}
        in <code>%</code>, with <code>t</code> in seconds since 1970, up to 17 days ahead.
      </p>
      <p>
        Over MQTT to <code>brimful/1/forecast</code>, retained; or over HTTP to this server:
      </p>
      <pre>
        <code>{`curl -H 'content-type: application/senml+json' \\\n  -d '${example}' \\\n  ${location.origin}/api/v1/forecast`}</code>
      </pre>
      <p class="soft">
        By common practice, without a forecast: tap when nights of -4 °C (25 °F) and days of 4 °C
        (40 °F) set in, in much of the maple country in February or March.
      </p>
    </details>
  );
}
