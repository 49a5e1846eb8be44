// A row of ways to look at something, one of them chosen.

export function Choice<Name extends string>(props: {
  legend: string;
  names: readonly Name[];
  words: Record<Name, string>;
  /** Undefined: none of them. */
  now: Name | undefined;
  choose: (name: Name) => void;
}) {
  return (
    <fieldset class="switch">
      <legend class="unseen">{props.legend}</legend>
      {props.names.map((name) => (
        <label key={name}>
          <input
            type="radio"
            name={props.legend}
            checked={name === props.now}
            onChange={() => props.choose(name)}
          />
          <span>{props.words[name]}</span>
        </label>
      ))}
    </fieldset>
  );
}
