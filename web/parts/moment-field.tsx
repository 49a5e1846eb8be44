// A field for a day and time by the yard's clock, which says below what is wrong.
import { useId } from "preact/hooks";
import type { Moment } from "../moment.ts";

export function MomentField({ label, moment }: { label: string; moment: Moment }) {
  const noteId = useId();
  const problem = moment.isTold ? moment.problem : undefined;
  return (
    <div class="field entry">
      <label>
        <span>{label}</span>
        <span class="field-box">
          <input
            type="datetime-local"
            value={moment.text}
            aria-invalid={problem !== undefined}
            aria-describedby={noteId}
            onInput={(event) => moment.set(event.currentTarget.value)}
            onBlur={() => moment.text !== "" && moment.tell()}
          />
        </span>
      </label>
      <span id={noteId} class="problem" aria-live="polite">
        {problem ?? ""}
      </span>
    </div>
  );
}
