// The ways to one person, each with its test and what the other side said last; and push to this browser.
import { wayWords } from "../../shared/people/notice-words.ts";
import type { ChannelAnswer, ChannelState, NoticePerson } from "../../shared/wire/notice-people.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import { listenHere, type PushReach } from "../push.ts";
import { Outcome } from "./outcome.tsx";

/** How this browser stands to push; its mark where it listens. */
export type Here = { reach: PushReach; mark: string | undefined };
type WaysParts = { person: NoticePerson; changed: () => void };
type ShownWay = {
  channel: string;
  where: string;
  browser?: { isGone: boolean; isThis: boolean };
};
type WayParts = WaysParts & ShownWay;

const states: Record<ChannelState["state"], { mark: string; words: string }> = {
  fine: { mark: "✓", words: "Went out" },
  trying: { mark: "↻", words: "Not yet out, being tried again" },
  dead: { mark: "✕", words: "Did not go out" },
};

export function Ways({
  person,
  changed,
  here,
  liveMarks,
}: WaysParts & { here: Here; liveMarks: ReadonlySet<string> }) {
  const ways = waysOf(person, here);
  const isHere = ways.some(({ browser }) => browser?.isThis === true && !browser.isGone);
  return (
    <div class="notice-ways">
      {ways.length === 0 && <p class="soft">No way to reach them yet: press Change.</p>}
      {ways.length > 0 && (
        <ul>
          {ways.map((way) => (
            <Way key={way.channel} {...way} person={person} changed={changed} />
          ))}
        </ul>
      )}
      {here.reach === "ready" && !isHere && (
        <PushHere person={person} changed={changed} liveMarks={liveMarks} />
      )}
    </div>
  );
}

function waysOf({ mailTo, webhook, browsers }: NoticePerson, { mark }: Here): ShownWay[] {
  return [
    ...(mailTo === null ? [] : [{ channel: "email", where: `e-mail to ${mailTo}` }]),
    ...(webhook === null
      ? []
      : [{ channel: "webhook", where: `web address at ${new URL(webhook.url).host}` }]),
    ...browsers.map((each) => {
      const isThis = each.mark === mark;
      const where = `push to ${each.label}${isThis ? ", this browser" : ""}`;
      return { channel: each.channel, where, browser: { isGone: each.isGone, isThis } };
    }),
  ];
}

function Way({ person, channel, where, browser, changed }: WayParts) {
  const sending = useSending();
  const call = (method: "POST" | "DELETE", path: string, body?: object) => () =>
    sending.send(async () => {
      await callApi<ChannelAnswer | undefined>(method, path, body);
      changed();
    });
  const test = call("POST", `/notice-people/${person.id}/test`, { channel });
  const remove = call("DELETE", `/notice-browsers/${channel.slice("push-".length)}`);
  const toWhom = `${person.name} by ${wayWords(channel)}`;
  return (
    <li>
      <span class="row-words">
        {where}
        <Said state={person.channels.find((each) => each.channel === channel)} />
      </span>
      <span class="row-ways">
        {browser?.isGone !== true && (
          <button type="button" class="quiet" disabled={sending.busy} onClick={test}>
            {sending.busy ? "Asking" : "Send a test"}
            <span class="unseen"> to {toWhom}</span>
          </button>
        )}
        {browser !== undefined && (
          <button type="button" class="quiet" disabled={sending.busy} onClick={remove}>
            Stop<span class="unseen"> {where}</span>
          </button>
        )}
      </span>
      <Outcome sending={sending} />
    </li>
  );
}

function Said({ state }: { state: ChannelState | undefined }) {
  if (state === undefined) return <span class="soft">not tried yet</span>;
  const { mark, words } = states[state.state];
  return (
    <span class={`soft is-${state.state}`} role="status">
      <span aria-hidden="true">{mark} </span>
      {words}: {state.answer}
      {state.waiting > 0 && `; ${state.waiting} waiting for another try`}
    </span>
  );
}

function PushHere({ person, changed, liveMarks }: WaysParts & { liveMarks: ReadonlySet<string> }) {
  const sending = useSending();
  const listen = () =>
    sending.send(async () => {
      const { publicKey } = await callApi<{ publicKey: string }>("GET", "/push-key");
      const browser = await listenHere(publicKey, liveMarks);
      await callApi("POST", `/notice-people/${person.id}/browsers`, browser);
      changed();
    });
  return (
    <div>
      <button type="button" class="quiet" disabled={sending.busy} onClick={listen}>
        Push to this browser<span class="unseen"> for {person.name}</span>
      </button>
      <Outcome sending={sending} />
    </div>
  );
}
