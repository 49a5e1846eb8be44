// Sugar of one tree's sap: what was measured, and a form for what an instrument shows now.
import { useState } from "preact/hooks";
import { quantities } from "../../shared/quantities.ts";
import type { TreeSugar } from "../../shared/wire/rounds.ts";
import { callApi } from "../api.ts";
import { useAsked, useSending } from "../asking.ts";
import { areRight, useEntry } from "../entry.ts";
import { formatMoment } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { EntryField } from "./entry-field.tsx";
import { Form, SelectField } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

type Of = { treeId: string; page: PageFrame };
type Instrument = TreeSugar["instrument"] | "compensated";

export function TreeSugars({ treeId, page }: Of) {
  const [asked, setAsked] = useState(0);
  const { value } = useAsked<TreeSugar[]>("/sugars", asked);
  const own = (value ?? []).filter((sugar) => sugar.treeId === treeId).reverse();
  const sending = useSending();
  const changed = async () => {
    setAsked((count) => count + 1);
    await page.refresh();
  };
  const remove = (id: number) =>
    sending.send(async () => {
      await callApi("DELETE", `/sugars/${id}`);
      await changed();
    });
  return (
    <section>
      <h2>Sugar of its sap</h2>
      {own.length === 0 && <p class="soft">Not measured yet.</p>}
      <ul class="rows">
        {own.slice(0, 6).map((sugar) => (
          <li key={sugar.id}>
            <span class="row-words">
              <b>{sugar.brix.toFixed(1)} °Bx</b>, {formatMoment(sugar.atMs, page)}
              <span class="soft">
                {sugar.instrument} showed {sugar.readingBrix.toFixed(1)}
                {sugar.tempC !== null && ", corrected for temperature"}
              </span>
            </span>
            <span class="row-ways">
              <button type="button" onClick={() => remove(sugar.id)}>
                Delete
              </button>
            </span>
          </li>
        ))}
      </ul>
      <SugarForm treeId={treeId} page={page} changed={changed} />
      <Outcome sending={sending} />
    </section>
  );
}

function SugarForm({ treeId, page, changed }: Of & { changed: () => Promise<void> }) {
  const [instrument, setInstrument] = useState<Instrument>("hydrometer");
  const { units } = page;
  const reading = useEntry({ quantity: quantities.sapBrix, units });
  const temp = useEntry({ quantity: quantities.sapTempC, units });
  const isCompensated = instrument === "compensated";
  const sending = useSending();
  const send = () => {
    if (!areRight(isCompensated ? [reading] : [reading, temp])) return;
    const body = {
      instrument: isCompensated ? "refractometer" : instrument,
      readingBrix: reading.value,
      tempC: isCompensated ? null : temp.value,
    };
    sending.send(async () => {
      await callApi("POST", `/trees/${treeId}/sugars`, body);
      reading.reset();
      await changed();
    }, "Written down");
  };
  return (
    <Form send={send} label="Measure its sugar">
      <SelectField
        label="By"
        value={instrument}
        set={(value) => setInstrument(value as Instrument)}
        choices={[
          { value: "hydrometer", words: "hydrometer marked at 60 °F (15.6 °C)" },
          { value: "refractometer", words: "refractometer" },
          { value: "compensated", words: "refractometer that corrects itself" },
        ]}
      />
      <EntryField label="It shows" entry={reading} />
      {!isCompensated && <EntryField label="Temperature of the sap in it" entry={temp} />}
      <button type="submit" disabled={sending.busy}>
        Write it down
      </button>
      <Outcome sending={sending} />
    </Form>
  );
}
