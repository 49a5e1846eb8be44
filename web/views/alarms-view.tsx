// Alarms: the open ones first, then the past; sound and the pause while on the round.
import type { AlarmView } from "../../shared/wire/api.ts";
import type { AlarmSound } from "../alarm-sound.ts";
import { callApi, spanQuery } from "../api.ts";
import { useAsked, useSending } from "../asking.ts";
import { formatMoment } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { AlarmRow } from "../parts/alarm-row.tsx";
import { CheckField } from "../parts/fields.tsx";
import { Outcome } from "../parts/outcome.tsx";

const dayMs = 86_400_000;
const pastDays = 14;
const severityRank = { now: 0, soon: 1, advice: 2 };

export function AlarmsPage({ page, sound }: { page: PageFrame; sound: AlarmSound }) {
  const untilMs = Math.ceil(page.nowMs / dayMs) * dayMs;
  const path = `/alarms${spanQuery({ fromMs: untilMs - pastDays * dayMs, toMs: untilMs })}`;
  const news = page.yard.alarms.map(({ id, clearedAtMs }) => `${id}${clearedAtMs ?? ""}`).join(" ");
  const { value, problem } = useAsked<AlarmView[]>(path, news);
  const { open, past } = splitAlarms(page.yard.alarms, value ?? []);
  return (
    <>
      <h2>Alarms</h2>
      <Pause page={page} />
      <CheckField
        label="While this page is open: a sound when an alarm rises, and a notice of the system where the browser allows it"
        value={sound.on}
        set={sound.setOn}
      />
      <Outcome sending={{ problem, done: undefined }} />
      {open.length === 0 ? (
        <p class="sentence">All is quiet.</p>
      ) : (
        <AlarmList alarms={open} page={page} label="Open alarms" />
      )}
      <h3 class="past-head">The last {pastDays} days</h3>
      {past.length === 0 ? (
        <p class="soft">Nothing before.</p>
      ) : (
        <AlarmList alarms={past} page={page} label="Past alarms" />
      )}
    </>
  );
}

function AlarmList(props: { alarms: AlarmView[]; page: PageFrame; label: string }) {
  return (
    <ul class="rows" aria-label={props.label}>
      {props.alarms.map((alarm) => (
        <AlarmRow key={alarm.id} alarm={alarm} page={props.page} />
      ))}
    </ul>
  );
}

/** Live alarms win over the asked ones; open by urgency, past by time, newest first. */
export function splitAlarms(live: AlarmView[], asked: AlarmView[]) {
  const byId = new Map([...asked, ...live].map((alarm) => [alarm.id, alarm]));
  const all = [...byId.values()].sort((a, b) => b.raisedAtMs - a.raisedAtMs);
  const open = all
    .filter(({ clearedAtMs }) => clearedAtMs === null)
    .sort((a, b) => severityRank[a.severity] - severityRank[b.severity]);
  return { open, past: all.filter(({ clearedAtMs }) => clearedAtMs !== null) };
}

function Pause({ page }: { page: PageFrame }) {
  const sending = useSending();
  const { pausedUntilMs } = page.yard.yard;
  const isPaused = pausedUntilMs !== null && pausedUntilMs > page.nowMs;
  const pause = (minutes: number) =>
    sending.send(async () => {
      await callApi("POST", "/alarms/pause", { minutes });
      await page.refresh();
    });
  return (
    <div class="pause">
      {isPaused && <p>Paused until {formatMoment(pausedUntilMs, page)}: no notices go out.</p>}
      <button type="button" disabled={sending.busy} onClick={() => pause(isPaused ? 0 : 60)}>
        {isPaused ? "I'm back: end the pause" : "I'm on the round: pause for 1 h"}
      </button>
      <Outcome sending={sending} />
    </div>
  );
}
