// Links that let somebody look and change nothing: made, shown once, revoked.
import { useState } from "preact/hooks";
import { formatAge } from "../../shared/people/format.ts";
import type { NewViewingLink, ViewingLink } from "../../shared/wire/viewing.ts";
import { callApi } from "../api.ts";
import { useAsked, useSending } from "../asking.ts";
import type { PageFrame } from "../page-frame.ts";
import { visitAddress } from "../session.ts";
import { Form, TextField } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

export function ViewingLinks({ page }: { page: PageFrame }) {
  const [again, setAgain] = useState(0);
  const { value, problem } = useAsked<ViewingLink[]>("/viewing-links", again);
  const changed = () => setAgain((count) => count + 1);
  return (
    <section>
      <h2>Who else may look</h2>
      <p class="soft">
        A viewing link opens every page and changes nothing. Whoever has it can pass it on, until
        you revoke it.
      </p>
      <Outcome sending={{ problem, done: undefined }} />
      {value !== undefined && value.length > 0 && (
        <ul class="rows">
          {value.map((link) => (
            <LinkRow key={link.id} link={link} page={page} changed={changed} />
          ))}
        </ul>
      )}
      <NewLink changed={changed} />
    </section>
  );
}

type RowParts = { link: ViewingLink; page: PageFrame; changed: () => void };

function LinkRow({ link, page, changed }: RowParts) {
  const sending = useSending();
  const revoke = () =>
    sending.send(async () => {
      await callApi("DELETE", `/viewing-links/${link.id}`);
      changed();
    });
  return (
    <li>
      <span class="row-words">
        <b class="row-name">{link.label}</b>
        <span class="soft">made {formatAge(page.nowMs - link.createdMs)}</span>
      </span>
      <span class="row-ways">
        <button type="button" class="quiet" disabled={sending.busy} onClick={revoke}>
          Revoke<span class="unseen"> the link of {link.label}</span>
        </button>
      </span>
      <Outcome sending={sending} />
    </li>
  );
}

function NewLink({ changed }: { changed: () => void }) {
  const [label, setLabel] = useState("");
  const [made, setMade] = useState<NewViewingLink>();
  const sending = useSending();
  const make = () =>
    sending.send(async () => {
      setMade(await callApi<NewViewingLink>("POST", "/viewing-links", { label }));
      setLabel("");
      changed();
    });
  return (
    <Form send={make} label="New viewing link">
      <TextField label="For whom" value={label} set={setLabel} required />
      <button type="submit" disabled={sending.busy || label.trim() === ""}>
        Make a link
      </button>
      <Outcome sending={sending} />
      {made !== undefined && (
        <p role="status">
          For {made.label}, shown this once:{" "}
          <code>{visitAddress(location.origin, made.secret)}</code>
        </p>
      )}
    </Form>
  );
}
