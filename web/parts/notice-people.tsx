// People who get notices: who, of what, by which ways, and what the other side said last.
import { useState } from "preact/hooks";
import { wayWords } from "../../shared/people/notice-words.ts";
import type { ChannelAnswer, ChannelState, NoticePerson } from "../../shared/wire/notice-people.ts";
import { callApi } from "../api.ts";
import { useAsked, useSending } from "../asking.ts";
import { kindsWords, quietWords, severityWords } from "../notice-wishes.ts";
import { NoticePersonForm } from "./notice-person-form.tsx";
import { Outcome } from "./outcome.tsx";

export function NoticePeople() {
  const [again, setAgain] = useState(0);
  const [isAdding, setAdding] = useState(false);
  const { value, problem } = useAsked<NoticePerson[]>("/notice-people", again);
  const changed = () => {
    setAdding(false);
    setAgain((count) => count + 1);
  };
  return (
    <>
      <Outcome sending={{ problem, done: undefined }} />
      {value !== undefined && value.length > 0 && (
        <ul class="rows">
          {value.map((person) => (
            <PersonRow key={person.id} person={person} changed={changed} />
          ))}
        </ul>
      )}
      {isAdding ? (
        <NoticePersonForm changed={changed} leave={() => setAdding(false)} />
      ) : (
        <button type="button" class="quiet" onClick={() => setAdding(true)}>
          Add a person
        </button>
      )}
    </>
  );
}

type RowParts = { person: NoticePerson; changed: () => void };

function PersonRow({ person, changed }: RowParts) {
  const [isOpen, setOpen] = useState(false);
  const sending = useSending();
  const remove = () =>
    sending.send(async () => {
      await callApi("DELETE", `/notice-people/${person.id}`);
      changed();
    });
  const done = () => {
    setOpen(false);
    changed();
  };
  const wishes = [
    kindsWords(person.kinds),
    severityWords[person.fromSeverity],
    quietWords(person.quiet, person.wake),
  ];
  return (
    <li class="is-stacked">
      <span class="row-words">
        <b class="row-name">{person.name}</b>
        <span class="soft">{wishes.join("; ")}</span>
      </span>
      <span class="row-ways">
        <button type="button" class="quiet" aria-expanded={isOpen} onClick={() => setOpen(!isOpen)}>
          Change<span class="unseen"> what {person.name} gets</span>
        </button>
        <button type="button" class="quiet" disabled={sending.busy} onClick={remove}>
          Remove<span class="unseen"> {person.name}</span>
        </button>
      </span>
      {isOpen ? (
        <NoticePersonForm person={person} changed={done} leave={() => setOpen(false)} />
      ) : (
        <Ways person={person} changed={changed} />
      )}
      <Outcome sending={sending} />
    </li>
  );
}

function Ways({ person, changed }: RowParts) {
  const ways = [
    ...(person.mailTo === null ? [] : [{ channel: "email", where: person.mailTo }]),
    ...(person.webhook === null ? [] : [{ channel: "webhook", where: person.webhook.url }]),
  ];
  if (ways.length === 0) return <p class="soft">No way to reach them yet: press Change.</p>;
  return (
    <ul class="ways">
      {ways.map((way) => (
        <Way key={way.channel} {...way} person={person} changed={changed} />
      ))}
    </ul>
  );
}

const stateWords: Record<ChannelState["state"], string> = {
  fine: "Went out",
  trying: "Not yet out, being tried again",
  dead: "Did not go out",
};

function Way({ person, channel, where, changed }: RowParts & { channel: string; where: string }) {
  const sending = useSending();
  const state = person.channels.find((each) => each.channel === channel);
  const test = () =>
    sending.send(async () => {
      await callApi<ChannelAnswer>("POST", `/notice-people/${person.id}/test`, { channel });
      changed();
    });
  return (
    <li>
      <span class="row-words">
        {wayWords(channel)} to {where}
        {state !== undefined && (
          <span class={state.state === "fine" ? "soft" : "margin-note"} role="status">
            {stateWords[state.state]}. The other side said: {state.answer}
            {state.waiting > 0 && `; ${state.waiting} waiting for another try`}
          </span>
        )}
      </span>
      <button type="button" class="quiet" disabled={sending.busy} onClick={test}>
        {sending.busy ? "Asking" : "Send a test"}
        <span class="unseen">
          {" "}
          to {person.name} by {wayWords(channel)}
        </span>
      </button>
      <Outcome sending={sending} />
    </li>
  );
}
