// Editing one bucket: label, capacity, empty weight, cell, and parking it.
import { useState } from "preact/hooks";
import { formatMass } from "../../shared/people/format.ts";
import type { BucketView } from "../../shared/wire/api.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import {
  massField,
  massKgFromField,
  massUnit,
  volumeField,
  volumeLFromField,
  volumeUnit,
} from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { Form, SelectField, TextField } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

type Edited = { bucket: BucketView; page: PageFrame };

export function BucketForm({ bucket, page }: Edited) {
  const { units } = page;
  const [label, setLabel] = useState(bucket.label);
  const [capacity, setCapacity] = useState(volumeField(bucket.capacityL, units));
  const [empty, setEmpty] = useState(massField(bucket.emptyKg, units));
  const [cell, setCell] = useState(bucket.cell ?? "");
  const sending = useSending();
  const save = () => {
    const capacityL = volumeLFromField(capacity, units);
    const emptyKg = massKgFromField(empty, units);
    const body = {
      ...(label.trim() !== bucket.label && { label: label.trim() }),
      ...(capacityL !== undefined &&
        capacity !== volumeField(bucket.capacityL, units) && { capacityL }),
      ...(emptyKg !== undefined && empty !== massField(bucket.emptyKg, units) && { emptyKg }),
      ...(cell !== (bucket.cell ?? "") && { cell: cell === "" ? null : cell }),
    };
    sending.send(async () => {
      await callApi("PATCH", `/buckets/${bucket.id}`, body);
      await page.refresh();
    }, "Saved");
  };
  return (
    <Form send={save} label={`Change ${bucket.label}`}>
      <TextField label="Label" value={label} set={setLabel} required />
      <TextField
        label="Holds up to the rim"
        value={capacity}
        set={setCapacity}
        unit={volumeUnit(units)}
        decimal
      />
      <TextField label="Empty bucket" value={empty} set={setEmpty} unit={massUnit(units)} decimal />
      <WeighsNow bucket={bucket} page={page} set={setEmpty} />
      <SelectField label="Cell" value={cell} set={setCell} choices={cellChoices(page, bucket)} />
      <button type="submit" disabled={sending.busy}>
        Save
      </button>
      <Outcome sending={sending} />
    </Form>
  );
}

function WeighsNow({ bucket, page, set }: Edited & { set: (text: string) => void }) {
  const { massKg } = bucket;
  if (massKg === null) return null;
  return (
    <button type="button" class="quiet" onClick={() => set(massField(massKg, page.units))}>
      Empty now: use {formatMass(massKg, page.units)}
    </button>
  );
}

function cellChoices(page: PageFrame, bucket: BucketView) {
  const cells = page.yard.boards.flatMap((board) => board.cells);
  const free = cells.filter(({ bucketId }) => bucketId === null || bucketId === bucket.id);
  const names = new Set([...free.map(({ cell }) => cell), ...(bucket.cell ? [bucket.cell] : [])]);
  return [
    { value: "", words: "none" },
    ...[...names].sort().map((name) => ({ value: name, words: name })),
  ];
}

export function ParkButton({ bucket, page }: Edited) {
  const sending = useSending();
  const isParked = bucket.state === "parked";
  const park = () =>
    sending.send(async () => {
      await callApi("PATCH", `/buckets/${bucket.id}`, { parked: !isParked });
      await page.refresh();
    });
  return (
    <>
      <button type="button" disabled={sending.busy} onClick={park}>
        {isParked ? "Hang it again" : "Park it for the season"}
      </button>
      {sending.problem !== undefined && <Outcome sending={sending} />}
    </>
  );
}
