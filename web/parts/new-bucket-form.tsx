// A new bucket: on a cell that weighs something nobody has named, or on none, looked at and written down by hand.
import { useRef, useState } from "preact/hooks";
import { formatMass } from "../../shared/people/format.ts";
import { quantities } from "../../shared/quantities.ts";
import type { BoardView, Units } from "../../shared/wire/api.ts";
import type { Tap, Tree } from "../../shared/wire/records.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import { areRight, type Entry, useEntry } from "../entry.ts";
import { massText } from "../format.ts";
import { type Moment, useMoment } from "../moment.ts";
import type { PageFrame } from "../page-frame.ts";
import { sameNameWords } from "../same-name.ts";
import { EntryField } from "./entry-field.tsx";
import { Form, SelectField, TextField } from "./fields.tsx";
import { MomentField } from "./moment-field.tsx";
import { Outcome } from "./outcome.tsx";

export type Cell = BoardView["cells"][number];
type Filled = { treeId: string; label: string; taps: string };
type Figures = { capacityL: number; emptyKg: number; sinceMs: number | null };

// A common hanging bucket holds about 12 L (common practice, no source).
const usualCapacityL = 12;

export type NewBucket = Figures & {
  cell: string | null;
  treeId: string | undefined;
  label: string;
  taps: number;
};

/** What the form says; undefined until the bucket has a name. */
export function newBucketFrom(
  filled: Filled,
  figures: Figures,
  cell: string | null,
): NewBucket | undefined {
  const label = filled.label.trim();
  if (label === "") return undefined;
  const treeId = filled.treeId === "" ? undefined : filled.treeId;
  return { cell, treeId, label, taps: Number(filled.taps), ...figures };
}

/** What is already made stays made, so that a second try goes on where the first one failed. */
type Made = { treeId?: string; tapIds: string[] };

/** Taps of a tree that run into no bucket and haven't been pulled. */
export function freeTapIds(taps: Tap[], treeId: string, takenIds: readonly string[]): string[] {
  return taps
    .filter((tap) => tap.treeId === treeId && tap.pulledMs === null && !takenIds.includes(tap.id))
    .map(({ id }) => id);
}

async function makeBucket(bucket: NewBucket, made: Made, takenIds: string[]): Promise<void> {
  const { treeId } = bucket;
  made.treeId ??= treeId ?? (await callApi<Tree>("POST", "/trees", { label: bucket.label })).id;
  if (treeId !== undefined && made.tapIds.length === 0) {
    const free = freeTapIds(await callApi<Tap[]>("GET", "/taps"), treeId, takenIds);
    made.tapIds.push(...free.slice(0, bucket.taps));
  }
  while (made.tapIds.length < bucket.taps) {
    const tap = await callApi<Tap>("POST", "/taps", { treeId: made.treeId });
    made.tapIds.push(tap.id);
  }
  const { cell, label, capacityL, emptyKg, sinceMs } = bucket;
  const since = sinceMs === null ? {} : { fromMs: sinceMs };
  const body = { label, cell, capacityL, emptyKg, tapIds: made.tapIds, ...since };
  await callApi("POST", "/buckets", body);
}

const blank: Filled = { treeId: "", label: "", taps: "1" };

type NewBucketProps = {
  /** Null for a bucket that no cell weighs. */
  cell: Cell | null;
  trees: Tree[];
  page: PageFrame;
};

export function NewBucketForm({ cell, trees, page }: NewBucketProps) {
  const { filled, set, entries, sending, send } = useNewBucket({ cell, page });
  return (
    <section class="new-cell">
      <Form send={send} label={cell === null ? "Bucket without a cell" : `Bucket on ${cell.cell}`}>
        <Fields {...{ filled, set, trees, entries }} isWeighed={cell !== null} />
        {cell !== null && cell.massKg !== null && (
          <button
            type="button"
            class="quiet"
            onClick={() => entries.empty.set(massText(cell.massKg ?? 0, page.units))}
          >
            It hangs empty now: use {formatMass(cell.massKg, page.units)}
          </button>
        )}
        <button type="submit" disabled={sending.busy}>
          Hang it
        </button>
        <Outcome sending={sending} />
      </Form>
    </section>
  );
}

function useNewBucket({ cell, page }: Omit<NewBucketProps, "trees">) {
  const { units, nowMs, timeZone } = page;
  const [filled, setFilled] = useState<Filled>(blank);
  const before = page.yard.buckets[0]?.capacityL ?? usualCapacityL;
  const capacity = useEntry({ quantity: quantities.capacityL, units, before });
  const empty = useEntry({ quantity: quantities.emptyKg, units, optional: cell === null });
  const since = useMoment({ nowMs, timeZone, optional: true });
  const made = useRef<Made>({ tapIds: [] });
  const sending = useSending();
  const set = (part: keyof Filled) => (text: string) =>
    setFilled((before) => ({ ...before, [part]: text }));
  const send = () => {
    if (!areRight([capacity, empty, since])) return;
    const figures = {
      capacityL: capacity.value ?? before,
      emptyKg: empty.value ?? quantities.emptyKg.usual,
      sinceMs: since.value ?? null,
    };
    const bucket = newBucketFrom(filled, figures, cell?.cell ?? null);
    if (bucket === undefined) return;
    const wrong = wrongWords(bucket, { cell, page });
    if (wrong !== undefined) return sending.refuse(wrong);
    sending.send(async () => {
      const takenIds = page.yard.buckets.flatMap(({ tapIds }) => tapIds);
      await makeBucket(bucket, made.current ?? { tapIds: [] }, takenIds);
      await page.refresh();
      made.current = { tapIds: [] };
      setFilled(blank);
    }, "Hung");
  };
  return { filled, set, entries: { capacity, empty, since }, sending, send };
}

function wrongWords(bucket: NewBucket, { cell, page }: Omit<NewBucketProps, "trees">) {
  const same = sameNameWords(bucket.label, page.yard.buckets);
  if (same !== undefined || cell === null) return same;
  return tooHeavyWords(cell, bucket.emptyKg, page.units);
}

// What hangs there can't be lighter than the bucket alone, but for what a cell may be off by.
const offKg = 0.1;

/** Why a bucket can't be so heavy; undefined when it can, or nothing hangs on the cell yet. */
export function tooHeavyWords(
  { cell, massKg }: Pick<Cell, "cell" | "massKg">,
  emptyKg: number,
  units: Units,
): string | undefined {
  if (massKg === null || massKg < offKg || emptyKg <= massKg + offKg) return undefined;
  return `${cell} weighs ${formatMass(massKg, units)} with the bucket on it: empty it can’t weigh ${formatMass(emptyKg, units)}`;
}

/** "hill/cell-3 is weighing 1.2 kg: whose bucket is it?" */
export function cellWords(cell: Cell, units: Units): string {
  if (cell.fault !== null) return `${cell.cell} has a fault (${cell.fault}): whose bucket is it?`;
  if (cell.massKg === null) return `${cell.cell} was heard: whose bucket is it?`;
  return `${cell.cell} is weighing ${formatMass(cell.massKg, units)}: whose bucket is it?`;
}

function secondName(treeLabel: string): string {
  return treeLabel === "" ? "" : `${treeLabel} second`;
}

function Fields(props: {
  filled: Filled;
  set: (part: keyof Filled) => (text: string) => void;
  trees: Tree[];
  entries: { capacity: Entry; empty: Entry; since: Moment };
  isWeighed: boolean;
}) {
  const { filled, set, trees, entries, isWeighed } = props;
  const choices = [
    { value: "", words: "a new tree" },
    ...trees.map(({ id, label }) => ({ value: id, words: label })),
  ];
  // A second bucket on a tree is called after it too, unless a person says otherwise.
  const chooseTree = (treeId: string) => {
    set("treeId")(treeId);
    if (filled.label === "" || trees.some((tree) => filled.label === secondName(tree.label))) {
      set("label")(secondName(trees.find(({ id }) => id === treeId)?.label ?? ""));
    }
  };
  return (
    <>
      <SelectField label="On the tree" value={filled.treeId} set={chooseTree} choices={choices} />
      <TextField label="The bucket’s name" value={filled.label} set={set("label")} required />
      <SelectField
        label="Taps that run into it"
        value={filled.taps}
        set={set("taps")}
        choices={["1", "2", "3", "4"].map((value) => ({ value, words: value }))}
      />
      <EntryField label="Holds up to the rim" entry={entries.capacity} />
      <EntryField
        label={isWeighed ? "Empty bucket weighs" : "Empty bucket weighs (if known)"}
        entry={entries.empty}
      />
      <MomentField
        label={isWeighed ? "Hung since (empty: first heard)" : "Hung since (empty: now)"}
        moment={entries.since}
      />
    </>
  );
}
