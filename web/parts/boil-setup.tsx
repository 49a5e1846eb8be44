// Pan, fire and rules of the boil, set once.
import { useState } from "preact/hooks";
import { archWords, fuelWords, woodWords } from "../../shared/people/boil-words.ts";
import { quantities } from "../../shared/quantities.ts";
import { densityLaws } from "../../shared/syrup/density-laws.ts";
import type { BoilSetup } from "../../shared/wire/syrup.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import { areRight, type Entry, useEntry } from "../entry.ts";
import type { PageFrame } from "../page-frame.ts";
import { DensityNote } from "./density-note.tsx";
import { EntryField } from "./entry-field.tsx";
import { Form, SelectField, TextField } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

const percent = 100;

function choicesFrom<Key extends string>(words: Record<Key, string>) {
  return Object.entries<string>(words).map(([value, each]) => ({ value, words: each }));
}

const lawChoices = densityLaws.map(({ key, name, lowestBrix, highestBrix }) => ({
  value: key,
  words: `${name}: ${lowestBrix} to ${highestBrix} Brix`,
}));

type Chosen = Pick<BoilSetup, "fuel" | "arch" | "wood" | "law" | "doneBy">;

type Figures = ReturnType<typeof useFigures>;

function useFigures(setup: BoilSetup, { units }: PageFrame) {
  const optional = true;
  return {
    area: useEntry({ quantity: quantities.panAreaM2, units, before: setup.panAreaM2, optional }),
    aim: useEntry({ quantity: quantities.aimBrix, units, before: setup.aimBrix, optional }),
    moisture: useEntry({
      quantity: quantities.moisturePercent,
      units,
      before: setup.moistureFraction * percent,
    }),
    holdUp: useEntry({ quantity: quantities.holdUpL, units, before: setup.holdUpL }),
    seaLevel: useEntry({ quantity: quantities.seaLevelPa, units, optional }),
  };
}

function patchFrom(chosen: Chosen, { area, aim, moisture, holdUp, seaLevel }: Figures): object {
  const { fuel, arch, wood, law, doneBy } = chosen;
  return {
    ...{ fuel, arch, wood, law, doneBy },
    panAreaM2: area.value,
    moistureFraction: (moisture.value ?? 0) / percent,
    aimBrix: aim.value,
    holdUpL: holdUp.value,
    ...(typeof seaLevel.value === "number" && { seaLevelPa: seaLevel.value }),
  };
}

export function BoilSetupForm(props: { page: PageFrame; setup: BoilSetup; changed: () => void }) {
  const { page, setup, changed } = props;
  const sending = useSending();
  const [chosen, setChosen] = useState<Chosen>(setup);
  const figures = useFigures(setup, page);
  const set = (part: Partial<Record<keyof Chosen, string>>) =>
    setChosen((before) => ({ ...before, ...(part as Partial<Chosen>) }));
  const save = () => {
    if (!areRight(Object.values(figures))) return;
    sending.send(async () => {
      await callApi("PATCH", "/syrup/setup", patchFrom(chosen, figures));
      changed();
    }, "Saved");
  };
  return (
    <Form send={save} label="Pan, fire and rules">
      <EntryField label="The pan’s area" entry={figures.area} />
      <SelectField
        label="Density by the rules of"
        value={chosen.law}
        set={(law) => set({ law })}
        choices={lawChoices}
      />
      <EntryField label="Own aim (empty: the rule’s lowest)" entry={figures.aim} />
      <DensityNote brix={figures.aim.value} law={chosen.law} />
      <FireFields chosen={chosen} set={set} moisture={figures.moisture} />
      <EntryField label="Syrup left in pan and filter" entry={figures.holdUp} />
      <TextField
        label="Done by"
        kind="time"
        value={chosen.doneBy}
        set={(doneBy) => set({ doneBy })}
      />
      <EntryField label="Sea-level pressure of today’s report" entry={figures.seaLevel} />
      <button type="submit" disabled={sending.busy}>
        Save
      </button>
      <Outcome sending={sending} />
    </Form>
  );
}

function FireFields(props: {
  chosen: Chosen;
  set: (part: Partial<Record<keyof Chosen, string>>) => void;
  moisture: Entry;
}) {
  const { chosen, set } = props;
  return (
    <>
      <SelectField
        label="Fuel"
        value={chosen.fuel}
        set={(fuel) => set({ fuel })}
        choices={choicesFrom(fuelWords)}
      />
      {chosen.fuel === "wood" && (
        <>
          <SelectField
            label="Fireplace"
            value={chosen.arch}
            set={(arch) => set({ arch })}
            choices={choicesFrom(archWords)}
          />
          <SelectField
            label="Kind of wood"
            value={chosen.wood}
            set={(wood) => set({ wood })}
            choices={choicesFrom(woodWords)}
          />
          <EntryField label="Water in the wood (seasoned 20, green 45)" entry={props.moisture} />
        </>
      )}
    </>
  );
}
