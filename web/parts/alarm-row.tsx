// One alarm: how pressing it is by shape and word, what it says, and the button that quiets it.
import { formatAge } from "../../shared/people/format.ts";
import type { AlarmView, Severity } from "../../shared/wire/api.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import { formatMoment } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { hashFromRoute } from "../routes.ts";
import { Outcome } from "./outcome.tsx";

const severityWords: Record<Severity, string> = { now: "Now", soon: "Soon", advice: "Advice" };

export function AlarmRow({ alarm, page }: { alarm: AlarmView; page: PageFrame }) {
  const isOpen = alarm.clearedAtMs === null;
  const bucket = page.yard.buckets.find(({ id }) => id === alarm.subject);
  return (
    <li class={`alarm is-${alarm.severity}${isOpen ? "" : " is-past"}`}>
      <SeverityMark severity={alarm.severity} />
      <span class="row-words">
        <span class="alarm-text">{alarm.text}</span>
        <span class="soft">{alarmTimes(alarm, page)}</span>
      </span>
      <span class="row-ways">
        {bucket !== undefined && (
          <a class="button is-quiet" href={hashFromRoute({ view: "bucket", id: bucket.id })}>
            {bucket.label}
          </a>
        )}
        {alarm.kind === "vessel" && (
          <a class="button is-quiet" href={hashFromRoute({ view: "vessels" })}>
            Vessels
          </a>
        )}
        {isOpen && alarm.seenAtMs === null && <SeenButton alarm={alarm} page={page} />}
      </span>
    </li>
  );
}

/** "Now, raised 15:25 (24 min ago), seen 15:30". */
function alarmTimes(alarm: AlarmView, page: PageFrame): string {
  const { severity, raisedAtMs, clearedAtMs, seenAtMs } = alarm;
  const age = clearedAtMs === null ? ` (${formatAge(page.nowMs - raisedAtMs)})` : "";
  const at = (what: string, atMs: number | null) =>
    atMs === null ? "" : `, ${what} ${formatMoment(atMs, page)}`;
  const raised = `${severityWords[severity]}${at("raised", raisedAtMs)}${age}`;
  return `${raised}${at("seen", seenAtMs)}${at("cleared", clearedAtMs)}`;
}

function SeenButton({ alarm, page }: { alarm: AlarmView; page: PageFrame }) {
  const sending = useSending();
  const send = () =>
    sending.send(async () => {
      await callApi("POST", `/alarms/${alarm.id}/seen`, {});
      await page.refresh();
    });
  return (
    <>
      <button type="button" disabled={sending.busy} onClick={send}>
        Seen
      </button>
      {sending.problem !== undefined && <Outcome sending={sending} />}
    </>
  );
}

/** A full drop for now, a half one for soon, an empty one for advice. */
function SeverityMark({ severity }: { severity: Severity }) {
  const drop = "M12 2 C7 10 5 13 5 16.5 a7 7 0 0 0 14 0 C19 13 17 10 12 2Z";
  return (
    <svg class="severity" viewBox="0 0 24 26" aria-hidden="true">
      {severity === "now" && <path class="is-filled" d={drop} />}
      {severity === "soon" && <path class="is-filled" d="M5 16.5 a7 7 0 0 0 14 0Z" />}
      <path d={drop} />
    </svg>
  );
}
