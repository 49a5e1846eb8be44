// How well the warnings did so far in this yard: useful, late, false, missed, and chances against what came.
import {
  afterwardsWords,
  expectedWords,
  fewForecastsWords,
  fillsWords,
  inflowWords,
  missedWords,
  warningsWords,
} from "../../shared/people/record.ts";
import type { WarningRecord } from "../../shared/wire/record.ts";
import { useAsked, useTick } from "../asking.ts";
import { formatMoment, formatShare } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { Outcome } from "../parts/outcome.tsx";
import { WideTable } from "../parts/wide-table.tsx";

const againMs = 60_000;

export function RecordPage({ page }: { page: PageFrame }) {
  const { value, problem } = useAsked<WarningRecord>("/record", useTick(againMs));
  return (
    <>
      <h2>How well did the warnings do?</h2>
      <Outcome sending={{ problem, done: undefined }} />
      {value !== undefined && <RecordSheet record={value} page={page} />}
    </>
  );
}

export function RecordSheet({ record, page }: { record: WarningRecord; page: PageFrame }) {
  if (record.sinceMs === null) {
    return (
      <p class="sentence">
        No forecast was kept yet. Each hour one is, and a day later it is held against what came.
      </p>
    );
  }
  return (
    <>
      <p class="soft">
        Counted since {formatMoment(record.sinceMs, page)}
        {page.yard.yard.simulated && ", in a simulated yard"}. What would have come if nobody had
        emptied the bucket is what counts.
      </p>
      <Warnings warnings={record.warnings} warnProbability={page.yard.yard.warnProbability} />
      {record.reliability.map((told) => (
        <Reliability key={told.aheadH} told={told} />
      ))}
      <section>
        <h3>Figures and their bounds</h3>
        <dl class="facts is-wide">
          <div>
            <dt>Sap to come in 12 h</dt>
            <dd>{inflowWords(record.inflow)}</dd>
          </div>
          <div>
            <dt>Gathered against flow</dt>
            <dd>{fillsWords(record.fills)}</dd>
          </div>
        </dl>
      </section>
    </>
  );
}

function Warnings({
  warnings,
  warnProbability,
}: Pick<WarningRecord, "warnings"> & { warnProbability: number }) {
  const rows: [string, number, string][] = [
    ["Useful", warnings.useful, "an hour of the day lay between, and an hour's notice"],
    ["Late", warnings.late, "it would have run over before anyone could come"],
    ["False", warnings.false, "it would not have run over within a day"],
    ["Missed", warnings.missed, "a bucket came to its rim without a useful warning"],
    ["Not judged", warnings.open + warnings.untold, "the day is not over, or was not weighed"],
  ];
  return (
    <section>
      <h3>Warnings that a bucket brims over</h3>
      <p>
        {warningsWords(warnings)} {afterwardsWords(warnings)} {missedWords(warnings)}
      </p>
      <p class="soft">{expectedWords(warnings, warnProbability)}</p>
      <dl class="facts is-wide">
        {rows.map(([name, count, meaning]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>
              <b>{count}</b> <span class="soft">{meaning}</span>
            </dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

function Reliability({ told }: { told: WarningRecord["reliability"][number] }) {
  const few = fewForecastsWords(told);
  return (
    <section>
      <h3>Chances told for the next {told.aheadH} hours</h3>
      {few !== undefined && <p class="soft">Whether they can be trusted: {few}.</p>}
      {told.bins.length > 0 && <Bins told={told} />}
    </section>
  );
}

function Bins({ told }: { told: WarningRecord["reliability"][number] }) {
  return (
    <WideTable label={`Chances told for ${told.aheadH} hours`} look="ranks is-narrow">
      <thead>
        <tr>
          <th scope="col">Told</th>
          <th scope="col" class="number">
            Mean
          </th>
          <th scope="col" class="number">
            Came
          </th>
          <th scope="col" class="number">
            Times
          </th>
        </tr>
      </thead>
      <tbody>
        {told.bins.map((bin) => (
          <tr key={bin.fromShare}>
            <th scope="row">
              {Math.round(100 * bin.fromShare)} to {formatShare(bin.untilShare)}
            </th>
            <td class="number">{formatShare(bin.toldShare)}</td>
            <td class="number">{formatShare(bin.cameShare)}</td>
            <td class="number">{bin.count}</td>
          </tr>
        ))}
      </tbody>
    </WideTable>
  );
}
