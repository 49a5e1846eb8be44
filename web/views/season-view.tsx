// A season's end: is it over, the closing jobs, the report, and all the data to take away.
import { useState } from "preact/hooks";
import { formatDate } from "../../shared/people/format.ts";
import type { Season, SeasonReport } from "../../shared/wire/seasons.ts";
import { useAsked } from "../asking.ts";
import type { PageFrame } from "../page-frame.ts";
import { ClosingJobs } from "../parts/closing-jobs.tsx";
import { Outcome } from "../parts/outcome.tsx";
import { SeasonHints } from "../parts/season-hints.tsx";
import { SeasonReportPart } from "../parts/season-report.tsx";
import { hashFromRoute } from "../routes.ts";

export function SeasonPage({ page, id }: { page: PageFrame; id: string | undefined }) {
  const [count, setCount] = useState(0);
  const seasons = useAsked<Season[]>("/seasons", count);
  const season = seasons.value?.find(({ year }) => String(year) === id) ?? seasons.value?.at(-1);
  if (season === undefined) {
    return <Outcome sending={{ problem: seasons.problem, done: undefined }} />;
  }
  const others = (seasons.value ?? []).filter(({ year }) => year !== season.year);
  return (
    <>
      {others.length > 0 && (
        <p class="not-printed">
          Other seasons:{" "}
          {others.map(({ year }) => (
            <a key={year} href={hashFromRoute({ view: "season", id: String(year) })}>
              {year}
            </a>
          ))}
        </p>
      )}
      <Report page={page} season={season} />
      {season.closedMs === null && season.year === page.yard.season.year && (
        <div class="not-printed">
          <SeasonHints />
        </div>
      )}
      <ClosingJobs
        key={season.year}
        page={page}
        season={season}
        changed={() => setCount((before) => before + 1)}
      />
      <TakeAway />
    </>
  );
}

function Report({ page, season }: { page: PageFrame; season: Season }) {
  const { value, problem } = useAsked<SeasonReport>(`/seasons/${season.year}/report`);
  return (
    <section class="report">
      <h2>
        {page.yard.yard.name}, season of {season.year}
      </h2>
      {season.closedMs !== null && (
        <p>
          Closed on {formatDate(season.closedMs, page.timeZone)}: its records stay as they are until
          it is opened again.
        </p>
      )}
      {season.note !== null && <p class="season-note">{season.note}</p>}
      <Outcome sending={{ problem, done: undefined }} />
      {value !== undefined && value.year === season.year && (
        <SeasonReportPart page={page} report={value} />
      )}
      <p class="not-printed">
        <button type="button" class="stays" onClick={() => print()}>
          Print the report
        </button>
      </p>
    </section>
  );
}

const tables = [
  "readings",
  "temperatures",
  "buckets",
  "flow",
  "days",
  "gatherings",
  "trees",
  "taps",
  "hangings",
  "vessels",
  "vessel-notes",
  "pours",
  "sugars",
  "ice",
  "rounds",
  "washings",
  "boils",
  "boil-entries",
  "batches",
  "alarms",
  "seasons",
];

function TakeAway() {
  return (
    <section class="not-printed">
      <h2>All of it, to take away</h2>
      <p class="soft">Tables for any spreadsheet, of every year.</p>
      <ul class="take-away">
        {tables.map((name) => (
          <li key={name}>
            <a href={`/api/v1/export/${name}.csv`}>{name}.csv</a>
          </li>
        ))}
      </ul>
    </section>
  );
}
