// The foot of every page: units of this browser and the cautions.
import type { Units } from "../../shared/wire/api.ts";

export function Foot({ units, setUnits }: { units: Units; setUnits: (units: Units) => void }) {
  return (
    <footer class="foot">
      <fieldset class="switch">
        <legend>Units in this browser</legend>
        <UnitChoice now={units} value="metric" words="L, °C" choose={setUnits} />
        <UnitChoice now={units} value="us" words="gal, °F" choose={setUnits} />
      </fieldset>
      <p>
        Mind the ice underfoot, the weight of a full pail, limbs falling after snow and wind, and
        hot syrup, which sticks and burns. Boil-by times are advice, not a food-safety guarantee.
      </p>
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
