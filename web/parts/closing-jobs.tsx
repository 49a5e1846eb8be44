// The jobs that close a season, ticked off one by one; and closing it.
import { useState } from "preact/hooks";
import { closingJobs } from "../../shared/people/closing-jobs.ts";
import { formatDate } from "../../shared/people/format.ts";
import { leftOpenWords } from "../../shared/people/season-words.ts";
import type { Tap } from "../../shared/wire/records.ts";
import type { Season } from "../../shared/wire/seasons.ts";
import { callApi } from "../api.ts";
import { useAsked, useSending } from "../asking.ts";
import type { PageFrame } from "../page-frame.ts";
import { AskedButton } from "./asked-button.tsx";
import { Form } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

type Props = { page: PageFrame; season: Season; changed: () => void };

export function ClosingJobs({ page, season, changed }: Props) {
  const sending = useSending();
  const isClosed = season.closedMs !== null;
  const change = (body: object, words?: string) =>
    sending.send(async () => {
      await callApi("PATCH", `/seasons/${season.year}`, body);
      changed();
    }, words);
  const leftOpen = useLeftOpen(page, season);
  const doneMs = new Map(season.jobs.map((job) => [job.key, job.doneMs]));
  return (
    <section class="not-printed">
      <h2>Closing the season</h2>
      <ul class="rows">
        {closingJobs.map(({ key, words, mind, source }) => {
          const atMs = doneMs.get(key) ?? null;
          return (
            <li key={key}>
              <label class="check">
                <input
                  type="checkbox"
                  checked={atMs !== null}
                  disabled={isClosed}
                  onChange={(event) => change({ jobs: { [key]: event.currentTarget.checked } })}
                />
                <span>
                  <b>{words}</b>
                  {atMs !== null && ` (${formatDate(atMs, page.timeZone)})`}{" "}
                  <span class="soft">
                    {mind}
                    {source !== undefined && ` (${source})`}
                  </span>
                </span>
              </label>
            </li>
          );
        })}
      </ul>
      {!isClosed && <NoteForm season={season} change={change} busy={sending.busy} />}
      <p class="row-ways">
        <AskedButton
          question={isClosed ? undefined : closingQuestion(season.year, leftOpen)}
          yes="Close it"
          act={() =>
            change({ closed: !isClosed }, isClosed ? "Open again" : `${season.year} is closed`)
          }
        >
          {isClosed ? `Open ${season.year} again` : `Close ${season.year}`}
        </AskedButton>
      </p>
      <Outcome sending={sending} />
    </section>
  );
}

/** What is still to do; of a year that is over, its ticks alone. */
function useLeftOpen({ yard, units }: PageFrame, { year, jobs }: Season): string[] {
  const isPresent = year === yard.season.year;
  const taps = useAsked<Tap[]>(isPresent ? "/taps" : null, year);
  const spiles = (taps.value ?? []).filter(({ pulledMs }) => pulledMs === null).length;
  const left = {
    jobs: jobs.filter(({ doneMs }) => doneMs === null).length,
    spiles: isPresent ? spiles : 0,
    vessels: isPresent ? yard.vessels : [],
  };
  return leftOpenWords(left, units);
}

function closingQuestion(year: number, leftOpen: readonly string[]): string {
  const left = leftOpen.length === 0 ? "" : ` Left to do: ${leftOpen.join(", ")}.`;
  return `Close ${year}?${left} Nothing of it can be changed until it is opened again.`;
}

function NoteForm(props: {
  season: Season;
  change: (body: object, words?: string) => void;
  busy: boolean;
}) {
  const [note, setNote] = useState(props.season.note ?? "");
  const send = () => props.change({ note: note.trim() === "" ? null : note }, "Noted");
  return (
    <Form send={send} label="Note for next year">
      <label class="field is-wide">
        <span>Note for next year</span>
        <textarea
          rows={3}
          maxLength={2000}
          value={note}
          onInput={(event) => setNote(event.currentTarget.value)}
        />
      </label>
      <button type="submit" disabled={props.busy}>
        Keep the note
      </button>
    </Form>
  );
}
