// The foot of every page: units of this browser and the cautions.
import { cautionsInShort } from "../../shared/people/cautions.ts";
import type { Units } from "../../shared/wire/api.ts";
import { SwitchChoice } from "./switch-choice.tsx";

export function Foot({ units, setUnits }: { units: Units; setUnits: (units: Units) => void }) {
  return (
    <footer class="foot">
      <fieldset class="switch">
        <legend>Units in this browser</legend>
        <SwitchChoice name="units" now={units} value="metric" words="L, °C" choose={setUnits} />
        <SwitchChoice name="units" now={units} value="us" words="gal, °F" choose={setUnits} />
      </fieldset>
      <p>{cautionsInShort}</p>
    </footer>
  );
}
