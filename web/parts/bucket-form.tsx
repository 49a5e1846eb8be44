// Editing one bucket: label, capacity, empty weight, cell, taps, since when; and parking it.
import { useState } from "preact/hooks";
import { formatMass, formatVolume } from "../../shared/people/format.ts";
import { quantities } from "../../shared/quantities.ts";
import { msPerHour } from "../../shared/units.ts";
import type { BucketView } from "../../shared/wire/api.ts";
import type { BucketPatch, Gathering, Tap } from "../../shared/wire/records.ts";
import { callApi, spanQuery } from "../api.ts";
import { useAsked, useSending } from "../asking.ts";
import { areRight, type Entry, useEntry } from "../entry.ts";
import { massText } from "../format.ts";
import { useMoment } from "../moment.ts";
import type { PageFrame } from "../page-frame.ts";
import { hashFromRoute } from "../routes.ts";
import { sameNameWords } from "../same-name.ts";
import { AskedButton, Question } from "./asked-button.tsx";
import { questionOf } from "./bucket-doubts.ts";
import { EntryField } from "./entry-field.tsx";
import { CheckField, Form, SelectField, TextField } from "./fields.tsx";
import { MomentField } from "./moment-field.tsx";
import { Outcome } from "./outcome.tsx";
import { sunChoices } from "./sun-choices.ts";

type Edited = { bucket: BucketView; page: PageFrame };

function useBucketFields({ bucket, page }: Edited) {
  const { units, nowMs, timeZone } = page;
  const [label, setLabel] = useState(bucket.label);
  const [cell, setCell] = useState(bucket.cell ?? "");
  const [tapIds, setTapIds] = useState(bucket.tapIds);
  const [sun, setSun] = useState(String(bucket.sunShare));
  const [role, setRole] = useState<string>(bucket.role);
  return {
    label,
    setLabel,
    cell,
    setCell,
    tapIds,
    setTapIds,
    sun,
    setSun,
    role,
    setRole,
    capacity: useEntry({ quantity: quantities.capacityL, units, before: bucket.capacityL }),
    empty: useEntry({ quantity: quantities.emptyKg, units, before: bucket.emptyKg }),
    since: useMoment({ nowMs, timeZone, optional: true }),
  };
}

/** A control hangs without a tap, under the same lid: what comes into it tells of rain and snow. */
const roles = [
  { value: "sap", words: "sap, and rain if it gets in" },
  { value: "control", words: "rain and snow alone: a control without a tap" },
];

type BucketFields = ReturnType<typeof useBucketFields>;

/** Only what was changed: what nobody touched stays exact. */
export function bucketPatch(
  bucket: Pick<BucketView, "label" | "cell" | "tapIds" | "sunShare" | "role">,
  fields: Pick<BucketFields, "label" | "cell" | "tapIds" | "sun" | "role"> & {
    capacity: Pick<Entry, "value" | "isChanged">;
    empty: Pick<Entry, "value" | "isChanged">;
    since: { value: number | null | undefined };
  },
  all: readonly Pick<BucketView, "id" | "cell">[],
): BucketPatch {
  const { label, cell, tapIds, sun, role, capacity, empty, since } = fields;
  return {
    ...(label.trim() !== bucket.label && { label: label.trim() }),
    ...(capacity.isChanged && { capacityL: capacity.value ?? undefined }),
    ...(empty.isChanged && { emptyKg: empty.value ?? undefined }),
    ...(cell !== (bucket.cell ?? "") && cellPatch(cell, all)),
    ...(!areSame(tapIds, bucket.tapIds) && { tapIds }),
    ...(sun !== String(bucket.sunShare) && { sunShare: Number(sun) }),
    ...rolePatch(bucket.role, role),
    ...(since.value !== null && { fromMs: since.value }),
  };
}

/** A cell that carries another bucket is swapped with it. */
function cellPatch(
  cell: string,
  all: readonly Pick<BucketView, "id" | "cell">[],
): Pick<BucketPatch, "cell" | "swapWith"> {
  if (cell === "") return { cell: null };
  const there = all.find((bucket) => bucket.cell === cell);
  return there === undefined ? { cell } : { cell, swapWith: there.id };
}

function areSame(one: readonly string[], other: readonly string[]): boolean {
  return one.toSorted().join() === other.toSorted().join();
}

function rolePatch(before: BucketView["role"], role: string): Pick<BucketPatch, "role"> {
  if (role === before) return {};
  return { role: role === "control" ? "control" : "sap" };
}

/** Saves what was changed, once what speaks against it was asked. */
function useSaving({ bucket, page }: Edited, fields: BucketFields) {
  const { capacity, empty, since } = fields;
  const sending = useSending();
  const [question, setQuestion] = useState<string | undefined>(undefined);
  const { value: gatherings } = useAsked<Gathering[]>(gatheringsPath(page), bucket.id);
  const patch = () => bucketPatch(bucket, fields, page.yard.buckets);
  const send = () =>
    sending.send(async () => {
      await callApi("PATCH", `/buckets/${bucket.id}`, patch());
      await page.refresh();
    }, "Saved");
  const save = () => {
    if (!areRight([capacity, empty, since])) return;
    const same = sameNameWords(fields.label, page.yard.buckets, bucket.id);
    if (same !== undefined) return sending.refuse(same);
    const asked = { bucket, page, gatherings: gatherings ?? [] };
    const doubt = questionOf(patch(), asked);
    // What was changed since it was asked is asked anew.
    const isAnswered = doubt === undefined || doubt === question;
    setQuestion(isAnswered ? undefined : doubt);
    if (isAnswered) send();
  };
  const answer = (isYes: boolean) => () => (isYes ? save() : setQuestion(undefined));
  return { sending, save, question, answer };
}

function gatheringsPath({ yard, nowMs }: PageFrame): string {
  const toMs = Math.ceil(nowMs / msPerHour + 1) * msPerHour;
  return `/gatherings${spanQuery({ fromMs: yard.season.firstReadingMs ?? 0, toMs })}`;
}

export function BucketForm({ bucket, page }: Edited) {
  const fields = useBucketFields({ bucket, page });
  const { capacity, empty, since } = fields;
  const { sending, save, question, answer } = useSaving({ bucket, page }, fields);
  return (
    <Form send={save} label={`Change ${bucket.label}`}>
      <TextField label="Label" value={fields.label} set={fields.setLabel} required />
      <EntryField label="Holds up to the rim" entry={capacity} />
      <EntryField label="Empty bucket" entry={empty} />
      <WeighsNow bucket={bucket} page={page} set={empty.set} />
      <SelectField
        label="Cell"
        value={fields.cell}
        set={fields.setCell}
        choices={cellChoices(page, bucket)}
      />
      <TapChoice bucket={bucket} page={page} tapIds={fields.tapIds} set={fields.setTapIds} />
      <SelectField
        label="It hangs"
        value={fields.sun}
        set={fields.setSun}
        choices={sunChoices(bucket.sunShare)}
      />
      <SelectField label="What comes in" value={fields.role} set={fields.setRole} choices={roles} />
      <MomentField label="Holds since (empty: from now on)" moment={since} />
      {question === undefined ? (
        <button type="submit" disabled={sending.busy}>
          Save
        </button>
      ) : (
        <Question question={question} yes="Save it" answer={answer} />
      )}
      <Outcome sending={sending} />
    </Form>
  );
}

function TapChoice(props: Edited & { tapIds: string[]; set: (tapIds: string[]) => void }) {
  const { bucket, page, tapIds, set } = props;
  const { value } = useAsked<Tap[]>("/taps", bucket.tapIds.join());
  const taken = page.yard.buckets
    .filter(({ id }) => id !== bucket.id)
    .flatMap((other) => other.tapIds);
  const choices = (value ?? []).filter(
    ({ id, pulledMs }) => bucket.tapIds.includes(id) || (pulledMs === null && !taken.includes(id)),
  );
  if (choices.length === 0) return null;
  const turn = (id: string) => (on: boolean) =>
    set(on ? [...tapIds, id] : tapIds.filter((other) => other !== id));
  return (
    <fieldset class="checks">
      <legend>Taps that run into it</legend>
      {choices.map(({ id, label }) => (
        <CheckField key={id} label={label} value={tapIds.includes(id)} set={turn(id)} />
      ))}
    </fieldset>
  );
}

function WeighsNow({ bucket, page, set }: Edited & { set: (text: string) => void }) {
  const { massKg, volumeL } = bucket;
  if (massKg === null) return null;
  const holds = volumeL !== null && volumeL >= 0.3 ? formatVolume(volumeL, page.units) : undefined;
  return (
    <AskedButton
      question={
        holds === undefined
          ? undefined
          : `By its empty weight so far it holds ${holds}. Is there really nothing in it?`
      }
      yes="It is empty"
      act={() => set(massText(massKg, page.units))}
      quiet
    >
      Empty now: use {formatMass(massKg, page.units)}
    </AskedButton>
  );
}

/** Cells that carry another bucket too: the two are swapped. */
function cellChoices({ yard }: PageFrame, bucket: BucketView) {
  const others = yard.buckets.filter(({ id }) => id !== bucket.id);
  const labelOn = new Map(others.map(({ cell, label }) => [cell, label]));
  const heard = yard.boards.flatMap(({ cells }) => cells.map(({ cell }) => cell));
  const hung = yard.buckets.flatMap(({ cell }) => cell ?? []);
  const wordsOf = (cell: string) => {
    const label = labelOn.get(cell);
    return label === undefined ? cell : `${cell}, now ${label}`;
  };
  return [
    { value: "", words: "none" },
    ...[...new Set([...heard, ...hung])]
      .sort()
      .map((cell) => ({ value: cell, words: wordsOf(cell) })),
  ];
}

/** One that was hung by mistake: what has a past is parked instead. */
export function DeleteBucket({ bucket, page }: Edited) {
  const sending = useSending();
  if (bucket.lastReadingMs !== null) return null;
  const remove = () =>
    sending.send(async () => {
      await callApi("DELETE", `/buckets/${bucket.id}`);
      await page.refresh();
      globalThis.location.hash = hashFromRoute({ view: "setup" });
    });
  return (
    <>
      <AskedButton
        question={`Delete ${bucket.label}? Its tree and taps stay.`}
        yes="Delete it"
        act={remove}
        busy={sending.busy}
      >
        Delete this bucket
      </AskedButton>
      {sending.problem !== undefined && <Outcome sending={sending} />}
    </>
  );
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
