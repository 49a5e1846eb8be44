// The book of a vessel: every gathering and pour, newest first, with ways to correct them.
import { useState } from "preact/hooks";
import { formatVolume } from "../../shared/people/format.ts";
import type { VesselLine, VesselView } from "../../shared/wire/vessels.ts";
import { callApi } from "../api.ts";
import { useAsked, useSending } from "../asking.ts";
import { formatMoment } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { lineWords } from "../vessel-words.ts";
import { Outcome } from "./outcome.tsx";

const mostLines = 40;

export function VesselBook({ vessel, page }: { vessel: VesselView; page: PageFrame }) {
  const [isOpen, setOpen] = useState(false);
  return (
    <details open={isOpen} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>What went in and out</summary>
      {isOpen && <Lines vessel={vessel} page={page} />}
    </details>
  );
}

function Lines({ vessel, page }: { vessel: VesselView; page: PageFrame }) {
  const [asked, setAsked] = useState(0);
  const again = `${asked} ${vessel.volumeL} ${vessel.newestMs}`;
  const { value, problem } = useAsked<VesselLine[]>(`/vessels/${vessel.id}/pours`, again);
  const sending = useSending();
  const change = (work: () => Promise<unknown>) =>
    sending.send(async () => {
      await work();
      setAsked((count) => count + 1);
      await page.refresh();
    });
  return (
    <>
      <ul class="rows">
        {(value ?? []).slice(0, mostLines).map((line) => (
          <Line
            key={`${line.kind} ${line.pourId} ${line.gatheringId}`}
            line={line}
            page={page}
            change={change}
          />
        ))}
      </ul>
      {value?.length === 0 && <p class="soft">Nothing yet.</p>}
      <Outcome sending={{ problem: sending.problem ?? problem, done: undefined }} />
    </>
  );
}

function Line(props: {
  line: VesselLine;
  page: PageFrame;
  change: (work: () => Promise<unknown>) => void;
}) {
  const { line, page, change } = props;
  const { gatheringId, pourId, shortL } = line;
  return (
    <li>
      <span class="row-words">
        <b>{lineWords(line, page)}</b>, {formatMoment(line.atMs, page)}
        <span class="soft">
          {formatVolume(line.afterL, page.units)} in it then
          {shortL > 0.05 &&
            `; ${formatVolume(shortL, page.units)} of it more than was known to be in it`}
        </span>
      </span>
      <span class="row-ways">
        {pourId !== null && (
          <button
            type="button"
            onClick={() => change(() => callApi("PATCH", `/pours/${pourId}`, { struck: true }))}
          >
            That never was
          </button>
        )}
        {gatheringId !== null && (
          <MovedElsewhere gatheringId={gatheringId} page={page} change={change} />
        )}
      </span>
    </li>
  );
}

/** Where a gathering really went. */
function MovedElsewhere(props: {
  gatheringId: number;
  page: PageFrame;
  change: (work: () => Promise<unknown>) => void;
}) {
  const { gatheringId, page, change } = props;
  const say = (vesselId: string | null) =>
    change(() => callApi("POST", `/gatherings/${gatheringId}/vessel`, { vesselId }));
  return (
    <select
      aria-label="It went elsewhere"
      value=""
      onChange={({ currentTarget: { value } }) => say(value === "none" ? null : value)}
    >
      <option value="">It went elsewhere…</option>
      {page.yard.vessels.map(({ id, label }) => (
        <option key={id} value={id}>
          into {label}
        </option>
      ))}
      <option value="none">into no vessel</option>
    </select>
  );
}
