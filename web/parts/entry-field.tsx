// A field for a figure with its unit: takes "18 in" and "46 cm" alike, and says below what is wrong.
import { useId } from "preact/hooks";
import type { Entry } from "../entry.ts";

export function EntryField({ label, entry }: { label: string; entry: Entry }) {
  const noteId = useId();
  const problem = entry.isTold ? entry.problem : undefined;
  return (
    <div class="field entry">
      <label>
        <span>{label}</span>
        <span class="field-box">
          <input
            type="text"
            autocomplete="off"
            value={entry.text}
            aria-invalid={problem !== undefined}
            aria-describedby={noteId}
            onInput={(event) => entry.set(event.currentTarget.value)}
            onBlur={() => entry.text.trim() !== "" && entry.tell()}
          />
          {entry.unit !== undefined && <span class="unit">{entry.unit}</span>}
        </span>
      </label>
      <span id={noteId} class={problem === undefined ? "soft" : "problem"} aria-live="polite">
        {problem ?? entry.echo ?? ""}
      </span>
    </div>
  );
}
