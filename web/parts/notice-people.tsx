// People who get notices: who, of what, by which ways, and what the other side said last.
import { useEffect, useState } from "preact/hooks";
import type { NoticePerson } from "../../shared/wire/notice-people.ts";
import { useAsked } from "../asking.ts";
import { kindsWords, quietWords, severityWords } from "../notice-wishes.ts";
import { markOfThis, type PushReach, pushReach } from "../push.ts";
import { NoticePersonForm } from "./notice-person-form.tsx";
import { type Here, Ways } from "./notice-ways.tsx";
import { Outcome } from "./outcome.tsx";

export function NoticePeople() {
  const [again, setAgain] = useState(0);
  const [isAdding, setAdding] = useState(false);
  const { value, problem } = useAsked<NoticePerson[]>("/notice-people", again);
  const here = useHere(value);
  const live = (value ?? []).flatMap(({ browsers }) => browsers.filter(({ isGone }) => !isGone));
  const liveMarks = new Set(live.map(({ mark }) => mark));
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
            <PersonRow key={person.id} {...{ person, changed, here, liveMarks }} />
          ))}
        </ul>
      )}
      {value !== undefined && value.length > 0 && here.reach !== "ready" && (
        <p class="soft">{reachWords[here.reach]}</p>
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

const reachWords: Record<Exclude<PushReach, "ready">, string> = {
  plain: "Push to a browser with its page closed needs HTTPS: see “On this device” below.",
  // iOS 16.4 and later; from memory.
  none: "This browser takes no push. On an iPhone or iPad, put the page on the home screen and open it there.",
  refused:
    "This browser is set to show no notices from this page: its settings for this site can allow them.",
};

/** What this browser can, looked at again with each new answer. */
function useHere(people: NoticePerson[] | undefined): Here {
  const [mark, setMark] = useState<string | undefined>(undefined);
  useEffect(() => {
    markOfThis().then(setMark, () => undefined);
  }, [people]);
  return { reach: pushReach(), mark };
}

type RowParts = {
  person: NoticePerson;
  changed: () => void;
  here: Here;
  liveMarks: ReadonlySet<string>;
};

function PersonRow({ person, changed, here, liveMarks }: RowParts) {
  const [isOpen, setOpen] = useState(false);
  const done = () => {
    setOpen(false);
    changed();
  };
  const wishes = [
    kindsWords(person.kinds),
    severityWords[person.fromSeverity],
    quietWords(person.quiet, person.wake),
    ...(person.digest === null ? [] : [`the day in short at ${person.digest}`]),
  ];
  return (
    <li>
      <span class="row-words">
        <b class="row-name">{person.name}</b>
        <span class="soft">{wishes.join("; ")}</span>
      </span>
      <span class="row-ways">
        <button type="button" class="quiet" aria-expanded={isOpen} onClick={() => setOpen(!isOpen)}>
          Change<span class="unseen"> what {person.name} gets</span>
        </button>
      </span>
      {isOpen ? (
        <NoticePersonForm person={person} changed={done} leave={() => setOpen(false)} />
      ) : (
        <Ways {...{ person, changed, here, liveMarks }} />
      )}
    </li>
  );
}
