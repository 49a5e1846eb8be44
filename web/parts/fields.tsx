// Form fields with their label above; figures with units have a field of their own.
import type { ComponentChildren } from "preact";

export function TextField(props: {
  label: string;
  value: string;
  set: (text: string) => void;
  kind?: "text" | "password" | "time";
  wide?: boolean;
  required?: boolean;
}) {
  const rest = {
    // Preact's types tie each role to one input type; a choice of types fits none of them.
    type: (props.kind ?? "text") as "text",
    value: props.value,
    required: props.required ?? false,
    onInput: (event: { currentTarget: { value: string } }) => props.set(event.currentTarget.value),
  };
  return (
    <label class={props.wide === true ? "field is-wide" : "field"}>
      <span>{props.label}</span>
      <span class="field-box">
        <input {...rest} />
      </span>
    </label>
  );
}

/** More than these are cut off in one column. */
const mostLetters = 15;

export function SelectField(props: {
  label: string;
  value: string;
  set: (value: string) => void;
  choices: { value: string; words: string }[];
}) {
  const isLong = props.choices.some(({ words }) => words.length > mostLetters);
  return (
    <label class={isLong ? "field is-long" : "field"}>
      <span>{props.label}</span>
      <span class="field-box">
        <select value={props.value} onChange={(event) => props.set(event.currentTarget.value)}>
          {props.choices.map(({ value, words }) => (
            <option key={value} value={value}>
              {words}
            </option>
          ))}
        </select>
      </span>
    </label>
  );
}

export function CheckField(props: { label: string; value: boolean; set: (on: boolean) => void }) {
  return (
    <label class="check">
      <input
        type="checkbox"
        checked={props.value}
        onChange={(event) => props.set(event.currentTarget.checked)}
      />
      <span>{props.label}</span>
    </label>
  );
}

/** Once what is wrong is told, the first field that is gets the focus. */
function pointToWrong(form: HTMLFormElement): void {
  requestAnimationFrame(() => form.querySelector<HTMLElement>("[aria-invalid=true]")?.focus());
}

/** A form that never leaves the page. */
export function Form(props: {
  send: () => void;
  children: ComponentChildren;
  label?: string | undefined;
}) {
  return (
    <form
      class="form"
      aria-label={props.label}
      onSubmit={(event) => {
        event.preventDefault();
        props.send();
        pointToWrong(event.currentTarget);
      }}
    >
      {props.children}
    </form>
  );
}
