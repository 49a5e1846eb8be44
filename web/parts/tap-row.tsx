// One tap of a tree: how old its hole is, where it is, pulling its spile, and mending its record.
import { useState } from "preact/hooks";
import { beyondGirthWords, drilledWords, holeWords } from "../../shared/people/tree-words.ts";
import type { Tap } from "../../shared/wire/records.ts";
import { callApi } from "../api.ts";
import { type Sending, useSending } from "../asking.ts";
import { areRight } from "../entry.ts";
import { useMoment } from "../moment.ts";
import type { PageFrame } from "../page-frame.ts";
import { HoleFields, holeBody, useHoleEntries } from "./drilling.tsx";
import { Form, TextField } from "./fields.tsx";
import { MomentField } from "./moment-field.tsx";
import { Outcome } from "./outcome.tsx";
import { placeWords } from "./trunk.tsx";

type Row = {
  tap: Tap;
  /** Of its tree, where it is measured. */
  girthCm: number | null;
  page: PageFrame;
  changed: () => Promise<void>;
};

export function TapRow(props: Row) {
  const { tap, page, changed } = props;
  const [isOpen, setOpen] = useState(false);
  const sending = useSending();
  const path = `/taps/${tap.id}`;
  const pull = () =>
    sending.send(async () => {
      await callApi("PATCH", path, { pulledMs: Math.floor(page.nowMs) });
      await changed();
    });
  return (
    <li>
      <span class="row-words">
        <b>{tap.label}</b> {holeWords(tap, page)}
        <span class="soft">
          {[whereWords(tap, page), ...drilledWords(tap, page.units)].join(", ")}
        </span>
      </span>
      <span class="row-ways">
        {tap.pulledMs === null && (
          <button type="button" disabled={sending.busy} onClick={pull}>
            Pull the spile<span class="unseen"> of {tap.label}</span>
          </button>
        )}
        <button type="button" aria-expanded={isOpen} onClick={() => setOpen(!isOpen)}>
          Change<span class="unseen"> {tap.label}</span>
        </button>
      </span>
      {sending.problem !== undefined && <Outcome sending={sending} />}
      {isOpen && <TapForm {...props} close={() => setOpen(false)} />}
    </li>
  );
}

function whereWords({ id, aroundCm, heightCm }: Tap, { units, yard }: PageFrame): string {
  const place =
    aroundCm === null || heightCm === null
      ? "place not on record"
      : placeWords({ aroundCm, heightCm }, units);
  const bucket = yard.buckets.find(({ tapIds }) => tapIds.includes(id));
  return bucket === undefined ? place : `${place}, runs into ${bucket.label}`;
}

function TapForm({ tap, girthCm, page, changed, close }: Row & { close: () => void }) {
  const { nowMs, timeZone, units } = page;
  const [label, setLabel] = useState(tap.label);
  const entries = useHoleEntries(
    {
      around: tap.aroundCm,
      height: tap.heightCm,
      bit: tap.bitMm,
      depth: tap.depthMm,
      slope: tap.slopeDegrees,
      wood: tap.woodTempC,
    },
    units,
  );
  const rest = { nowMs, timeZone, optional: true };
  const drilled = useMoment({ before: tap.tappedMs, ...rest });
  const pulled = useMoment({ before: tap.pulledMs, ...rest });
  const sending = useSending();
  const save = () => {
    if (!areRight([...Object.values(entries), drilled, pulled])) return;
    const hole = holeBody(entries);
    const wrong = beyondGirthWords({ ...hole, girthCm }, units);
    if (wrong !== undefined && hole.aroundCm !== tap.aroundCm) return sending.refuse(wrong);
    const times = { tappedMs: drilled.value ?? null, pulledMs: pulled.value ?? null };
    const body = { label: label.trim(), ...times, ...hole };
    sending.send(async () => {
      await callApi("PATCH", `/taps/${tap.id}`, body);
      await changed();
      close();
    });
  };
  return (
    <Form send={save} label={`Change ${tap.label}`}>
      <TextField label="Name" value={label} set={setLabel} required />
      <HoleFields entries={entries} />
      <MomentField label="Drilled" moment={drilled} />
      <MomentField label="Spile pulled" moment={pulled} />
      <button type="submit" disabled={sending.busy}>
        Save
      </button>
      <DeleteTap tap={tap} sending={sending} changed={changed} />
      <Outcome sending={sending} />
    </Form>
  );
}

function DeleteTap(props: { tap: Tap; sending: Sending; changed: () => Promise<void> }) {
  const { tap, sending, changed } = props;
  const [isAsked, setAsked] = useState(false);
  const remove = () =>
    sending.send(async () => {
      await callApi("DELETE", `/taps/${tap.id}`);
      await changed();
    });
  return isAsked ? (
    <button type="button" disabled={sending.busy} onClick={remove}>
      Yes, it was never drilled
    </button>
  ) : (
    <button type="button" onClick={() => setAsked(true)}>
      Delete
    </button>
  );
}
