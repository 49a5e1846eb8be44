// The foot of every page: units of this browser and the cautions.
import { cautionsInShort } from "../../shared/people/cautions.ts";
import type { Units } from "../../shared/wire/api.ts";

export function Foot({ units, setUnits }: { units: Units; setUnits: (units: Units) => void }) {
  return (
    <footer class="foot">
      <fieldset class="switch">
        <legend>Units in this browser</legend>
        <UnitChoice now={units} value="metric" words="L, °C" choose={setUnits} />
        <UnitChoice now={units} value="us" words="gal, °F" choose={setUnits} />
      </fieldset>
      <p>{cautionsInShort}</p>
    </footer>
  );
}

function UnitChoice(props: {
  now: Units;
  value: Units;
  words: string;
  choose: (units: Units) => void;
}) {
  return (
    <label>
      <input
        type="radio"
        name="units"
        checked={props.now === props.value}
        onChange={() => props.choose(props.value)}
      />
      <span>{props.words}</span>
    </label>
  );
}
