// The form of one person who gets notices: of what, when, and by which ways.
import { useState } from "preact/hooks";
import type { Severity } from "../../shared/wire/api.ts";
import type { NoticePerson, PersonWebhook } from "../../shared/wire/notice-people.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import {
  allKinds,
  type FilledWishes,
  filledFrom,
  kindWords,
  severityWords,
  wishesFrom,
} from "../notice-wishes.ts";
import { CheckField, Form, SelectField, TextField } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

type FormParts = { person?: NoticePerson; changed: () => void; leave: () => void };
type Fields = { filled: FilledWishes; set: (change: Partial<FilledWishes>) => void };

export function NoticePersonForm({ person, changed, leave }: FormParts) {
  const [filled, setFilled] = useState(() => filledFrom(person));
  const sending = useSending();
  const set = (change: Partial<FilledWishes>) => setFilled((before) => ({ ...before, ...change }));
  const save = () =>
    sending.send(async () => {
      const path = person === undefined ? "/notice-people" : `/notice-people/${person.id}`;
      await callApi(person === undefined ? "POST" : "PATCH", path, wishesFrom(filled));
      changed();
    });
  const remove = () =>
    sending.send(async () => {
      await callApi("DELETE", `/notice-people/${person?.id}`);
      changed();
    });
  return (
    <Form send={save} label={person === undefined ? "New person" : `Notices to ${person.name}`}>
      <TextField label="Name" value={filled.name} set={(name) => set({ name })} required />
      <TextField label="Mail to" value={filled.mailTo} set={(mailTo) => set({ mailTo })} wide />
      <WebAddress filled={filled} set={set} />
      <Hours filled={filled} set={set} />
      <Kinds filled={filled} set={set} />
      <div class="form-end">
        <button type="submit" disabled={sending.busy}>
          Save
        </button>
        <button type="button" class="quiet" onClick={leave}>
          Leave as it was
        </button>
        {person !== undefined && (
          <button type="button" class="quiet" disabled={sending.busy} onClick={remove}>
            Remove {person.name}
          </button>
        )}
      </div>
      <Outcome sending={sending} />
    </Form>
  );
}

function WebAddress({ filled, set }: Fields) {
  return (
    <>
      <TextField
        label="Web address to post to"
        value={filled.url}
        set={(url) => set({ url })}
        wide
      />
      {filled.url.trim() !== "" && (
        <details class="more">
          <summary>What is posted there</summary>
          <p class="soft">
            Left empty, the notice goes as JSON. In a template of your own stand {"{title}"},{" "}
            {"{text}"}, {"{kind}"}, {"{subject}"}, {"{severity}"} and {"{time}"} where they are
            filled in. What is secret belongs in the address or in the header, which are not shown
            again; the template is.
          </p>
          <TextField
            label="Template"
            value={filled.template}
            set={(template) => set({ template })}
            wide
          />
          <SelectField
            label="Sent as"
            value={filled.form}
            set={(form) => set({ form: form as PersonWebhook["form"] })}
            choices={[
              { value: "json", words: "JSON" },
              { value: "form", words: "a web form" },
              { value: "text", words: "plain text" },
            ]}
          />
          <TextField
            label="Authorization header, if it asks for one"
            value={filled.authorization}
            set={(authorization) => set({ authorization })}
          />
        </details>
      )}
    </>
  );
}

function Hours({ filled, set }: Fields) {
  return (
    <>
      <TextField
        label="Quiet from"
        kind="time"
        value={filled.quietFrom}
        set={(quietFrom) => set({ quietFrom })}
      />
      <TextField
        label="Quiet until"
        kind="time"
        value={filled.quietUntil}
        set={(quietUntil) => set({ quietUntil })}
      />
      <TextField
        label="The day in short, each evening at"
        kind="time"
        value={filled.digest}
        set={(digest) => set({ digest })}
      />
      <CheckField
        label="Wake them for what must be done now; all else waits"
        value={filled.wake}
        set={(wake) => set({ wake })}
      />
    </>
  );
}

function Kinds({ filled, set }: Fields) {
  const toggle = (kind: (typeof allKinds)[number], on: boolean) => {
    const kinds = new Set(filled.kinds);
    if (on) kinds.add(kind);
    else kinds.delete(kind);
    set({ kinds });
  };
  return (
    <>
      <SelectField
        label="How pressing"
        value={filled.fromSeverity}
        set={(severity) => set({ fromSeverity: severity as Severity })}
        choices={Object.entries(severityWords).map(([value, words]) => ({ value, words }))}
      />
      <fieldset class="checks is-grid">
        <legend>Told of</legend>
        {allKinds.map((kind) => (
          <CheckField
            key={kind}
            label={kindWords[kind]}
            value={filled.kinds.has(kind)}
            set={(on) => toggle(kind, on)}
          />
        ))}
      </fieldset>
    </>
  );
}
