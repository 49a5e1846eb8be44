// The rounds that were walked of late: what they brought, how long they took, against the plan.
import { formatCount, formatVolume } from "../../shared/people/format.ts";
import { msPerDay, msPerMinute } from "../../shared/units.ts";
import type { WalkedRound } from "../../shared/wire/rounds.ts";
import { useAsked } from "../asking.ts";
import { formatMoment } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";

const shownDays = 14;
const mostShown = 8;

export function RoundsBefore({ page, again }: { page: PageFrame; again: number }) {
  const fromMs = Math.floor(page.nowMs / msPerDay - shownDays) * msPerDay;
  const { value } = useAsked<WalkedRound[]>(`/rounds?fromMs=${fromMs}`, again);
  if (value === undefined || value.length === 0) return null;
  return (
    <section>
      <h2>Rounds before</h2>
      <ul class="rows">
        {value
          .toReversed()
          .slice(0, mostShown)
          .map((round) => (
            <li key={round.startedMs}>
              <span class="row-words">
                <b>{formatMoment(round.startedMs, page)}</b> {walkedWords(round, page)}
                <span class="soft">{plannedWords(round, page)}</span>
              </span>
            </li>
          ))}
      </ul>
    </section>
  );
}

/** "24.6 L from 5 buckets in 28 min". */
export function walkedWords(round: WalkedRound, { units }: Pick<PageFrame, "units">): string {
  const { startedMs, endedMs, gatheredL, gatheredBuckets } = round;
  const from = `${formatVolume(gatheredL, units)} from ${formatCount(gatheredBuckets, "bucket")}`;
  if (endedMs === null) return `${from}; nobody said when it ended`;
  return `${from} in ${Math.max(1, Math.round((endedMs - startedMs) / msPerMinute))} min`;
}

function plannedWords({ plannedL, plannedMinutes, buckets }: WalkedRound, page: PageFrame): string {
  const planned = formatVolume(plannedL, page.units);
  return `planned: ${planned} from ${formatCount(buckets, "bucket")} in ${Math.ceil(plannedMinutes)} min`;
}
