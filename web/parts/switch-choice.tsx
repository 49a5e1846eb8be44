// One side of a switch: a radio button drawn as an underlined word.
export function SwitchChoice<Value extends string>(props: {
  name: string;
  now: Value;
  value: Value;
  words: string;
  choose: (value: Value) => void;
}) {
  return (
    <label>
      <input
        type="radio"
        name={props.name}
        checked={props.now === props.value}
        onChange={() => props.choose(props.value)}
      />
      <span>{props.words}</span>
    </label>
  );
}
