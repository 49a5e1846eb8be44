// Forms of a vessel: pouring, its temperature, and how it is set up.
import { useState } from "preact/hooks";
import { quantities } from "../../shared/quantities.ts";
import type { VesselPlace, VesselView } from "../../shared/wire/vessels.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import { areRight, useEntry } from "../entry.ts";
import type { PageFrame } from "../page-frame.ts";
import { sameNameWords } from "../same-name.ts";
import { overFullWords, placeWords } from "../vessel-words.ts";
import { EntryField } from "./entry-field.tsx";
import { Form, SelectField, TextField } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

type Of = { vessel: VesselView; page: PageFrame };

/** Where to: "boil", "away", "in" from elsewhere, or another vessel as "over/id". */
function pourBody(way: string, volumeL: number | null) {
  const [kind = "", intoVesselId] = way.split("/");
  return { kind, volumeL, ...(intoVesselId === undefined ? {} : { intoVesselId }) };
}

export function PourForm({ vessel, page }: Of) {
  const [way, setWay] = useState("boil");
  const isIn = way === "in";
  const volume = useEntry({ quantity: quantities.sapL, units: page.units, optional: !isIn });
  const sending = useSending();
  const others = page.yard.vessels.filter(({ id, parked }) => id !== vessel.id && !parked);
  const send = () => {
    if (!areRight([volume])) return;
    const into = isIn ? vessel : others.find(({ id }) => way === `over/${id}`);
    const pouredL = volume.value ?? vessel.volumeL;
    const over = into === undefined ? undefined : overFullWords(into, pouredL, page.units);
    sending.send(
      async () => {
        await callApi("POST", `/vessels/${vessel.id}/pours`, pourBody(way, volume.value ?? null));
        volume.reset();
        await page.refresh();
      },
      over === undefined ? "Written down" : `Written down. ${over}`,
    );
  };
  return (
    <Form send={send} label={`Pour out of or into ${vessel.label}`}>
      <SelectField
        label="What was done"
        value={way}
        set={setWay}
        choices={[
          { value: "boil", words: "taken to the boil" },
          ...others.map(({ id, label }) => ({
            value: `over/${id}`,
            words: `poured over into ${label}`,
          })),
          { value: "away", words: "thrown away" },
          { value: "in", words: "poured in from elsewhere" },
        ]}
      />
      <EntryField label={isIn ? "How much" : "How much (empty: all of it)"} entry={volume} />
      <button type="submit" disabled={sending.busy}>
        Write it down
      </button>
      <Outcome sending={sending} />
    </Form>
  );
}

export function TemperatureForm({ vessel, page }: Of) {
  const temp = useEntry({ quantity: quantities.sapTempC, units: page.units });
  const sending = useSending();
  const send = () => {
    if (!areRight([temp])) return;
    sending.send(async () => {
      const body = { kind: "temperature", tempC: temp.value };
      await callApi("POST", `/vessels/${vessel.id}/notes`, body);
      temp.reset();
      await page.refresh();
    }, "Written down");
  };
  return (
    <Form send={send} label={`Temperature in ${vessel.label}`}>
      <EntryField label="The sap is now at" entry={temp} />
      <button type="submit" disabled={sending.busy}>
        Write it down
      </button>
      <Outcome sending={sending} />
    </Form>
  );
}

/** None, all that were heard, and the one that is set even if its board was put away. */
function probeChoices({ yard }: PageFrame, set: string) {
  const heard = yard.boards.flatMap(({ probes }) => probes);
  const all = set === "" || heard.includes(set) ? heard : [...heard, set];
  const words = (probe: string) => probe.split("/").reverse().join(" of board ");
  return [
    { value: "", words: "none: reckoned from where it stands" },
    ...all.map((value) => ({ value, words: words(value) })),
  ];
}

/** Changes one vessel, or adds one where none is given. */
export function VesselForm({ vessel, page }: { vessel?: VesselView; page: PageFrame }) {
  const [label, setLabel] = useState(vessel?.label ?? "");
  const [place, setPlace] = useState<VesselPlace>(vessel?.place ?? "shade");
  const [probe, setProbe] = useState(vessel?.probe ?? "");
  const capacity = useEntry({
    quantity: quantities.vesselL,
    units: page.units,
    before: vessel?.capacityL,
  });
  const sending = useSending();
  const save = () => {
    if (!areRight([capacity])) return;
    const same = sameNameWords(label, page.yard.vessels, vessel?.id);
    if (same !== undefined) return sending.refuse(same);
    const stands = { capacityL: capacity.value, place, probe: probe || null };
    sending.send(
      async () => {
        const path = vessel === undefined ? "" : `/${vessel.id}`;
        const method = vessel === undefined ? "POST" : "PATCH";
        await callApi(method, `/vessels${path}`, { label: label.trim(), ...stands });
        if (vessel === undefined) {
          setLabel("");
          capacity.reset();
        }
        await page.refresh();
      },
      vessel === undefined ? "Added" : "Saved",
    );
  };
  return (
    <Form send={save} label={vessel === undefined ? "A new vessel" : `Change ${vessel.label}`}>
      <TextField label="Name" value={label} set={setLabel} required />
      <EntryField label="Holds" entry={capacity} />
      <SelectField
        label="Stands"
        value={place}
        set={(value) => setPlace(value as VesselPlace)}
        choices={Object.entries(placeWords).map(([value, words]) => ({ value, words }))}
      />
      <SelectField
        label="Thermometer in it"
        value={probe}
        set={setProbe}
        choices={probeChoices(page, probe)}
      />
      <button type="submit" disabled={sending.busy}>
        {vessel === undefined ? "Add it" : "Save"}
      </button>
      <Outcome sending={sending} />
    </Form>
  );
}
