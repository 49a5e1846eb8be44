// Weighing a cell's past anew with a corrected calibration: ask the board for it, preview, correct.
import { useState } from "preact/hooks";
import { formatMass, formatVolume } from "../../shared/people/format.ts";
import type { CorrectionPost, CorrectionPreview } from "../../shared/wire/corrections.ts";
import type { OrderAnswer } from "../../shared/wire/orders.ts";
import { ApiError, callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import { fieldsFromCalibration, parseCorrection, type ScaleFields } from "../correction.ts";
import { areRight } from "../entry.ts";
import { formatMoment } from "../format.ts";
import { useMoment } from "../moment.ts";
import { labelOfBucket, type PageFrame } from "../page-frame.ts";
import type { Ordering } from "./board-cells.tsx";
import { Form, TextField } from "./fields.tsx";
import { MomentField } from "./moment-field.tsx";
import { Outcome } from "./outcome.tsx";
import { WideTable } from "./wide-table.tsx";

type Props = { cell: string; page: PageFrame; ordering: Ordering; changed: () => void };
type Previewed = { post: CorrectionPost; preview: CorrectionPreview };

export function CorrectionForm({ cell, page, ordering, changed }: Props) {
  const form = useCorrection({ cell, page, changed });
  const { fields, set, sending, previewed } = form;
  const [, name = ""] = cell.split("/");
  return (
    <div class="cell-question">
      <p>
        Was {name} calibrated wrong, and is right by now? Then its earlier weights can be taken anew
        from their raw counts. Nothing is lost by it: it can be undone.
      </p>
      <button
        type="button"
        disabled={ordering.busy}
        onClick={() => ordering.give({ order: "calibration", cell: name }, form.take)}
      >
        Ask the board how {name} weighs now
      </button>
      <Outcome sending={ordering} />
      <Form send={form.show} label={`Corrected calibration of ${cell}`}>
        <TextField
          label="Counts when bare"
          value={fields.zeroCounts}
          set={(zeroCounts) => set({ zeroCounts })}
        />
        <TextField
          label="Counts a gram"
          value={fields.countsPerG}
          set={(countsPerG) => set({ countsPerG })}
        />
        <MomentField label="From (empty: from its first weight)" moment={form.from} />
        <MomentField label="Until it was calibrated anew (empty: now)" moment={form.until} />
        <button type="submit" disabled={sending.busy}>
          Show what would change
        </button>
        <Outcome sending={sending} />
      </Form>
      {previewed !== undefined && (
        <>
          <Preview preview={previewed.preview} page={page} />
          <button type="button" disabled={sending.busy} onClick={() => form.apply(previewed)}>
            Correct {name} like this
          </button>
        </>
      )}
    </div>
  );
}

function useCorrection({ cell, page, changed }: Omit<Props, "ordering">) {
  const [fields, setFields] = useState<ScaleFields>({ zeroCounts: "", countsPerG: "" });
  const [calibratedAtMs, setCalibratedAtMs] = useState<number | undefined>(undefined);
  const [previewed, setPreviewed] = useState<Previewed | undefined>(undefined);
  const moment = { nowMs: page.nowMs, timeZone: page.timeZone, optional: true };
  const from = useMoment(moment);
  const until = useMoment({ ...moment, before: calibratedAtMs });
  const sending = useSending();
  return {
    fields,
    from,
    until,
    sending,
    previewed,
    set(part: Partial<ScaleFields>) {
      setPreviewed(undefined);
      setFields((before) => ({ ...before, ...part }));
    },
    /** What the board said goes into the fields, to be looked at. */
    take({ calibration }: OrderAnswer) {
      if (calibration === null) return;
      setPreviewed(undefined);
      setCalibratedAtMs(calibration.calibratedAtMs);
      setFields(fieldsFromCalibration(calibration));
    },
    show() {
      setPreviewed(undefined);
      if (!areRight([from, until])) return;
      const span = { cell, fromMs: from.value ?? null, untilMs: until.value ?? null };
      const post = parseCorrection(fields, span);
      sending.send(async () => {
        if (!post.ok) throw new ApiError(0, post.problem);
        const path = "/corrections/preview";
        const preview = await callApi<CorrectionPreview>("POST", path, post.value);
        setPreviewed({ post: post.value, preview });
      });
    },
    apply({ post }: Previewed) {
      sending.send(async () => {
        await callApi("POST", "/corrections", post);
        setPreviewed(undefined);
        changed();
        await page.refresh();
      }, "Corrected: its past is being gone through again.");
    },
  };
}

function Preview({ preview, page }: { preview: CorrectionPreview; page: PageFrame }) {
  const { newest, readings, withoutCounts, buckets } = preview;
  const mass = (massKg: number) => formatMass(massKg, page.units);
  return (
    <>
      <p>
        {readings - withoutCounts} readings would be weighed anew. The last of them,{" "}
        {formatMoment(newest.atMs, page)}, was {mass(newest.beforeKg)} and would be{" "}
        <b>{mass(newest.afterKg)}</b>.
        {withoutCounts > 0 && ` ${withoutCounts} came without raw counts and stay as they are.`}
      </p>
      {buckets.length === 0 && <p class="soft">No bucket hung on it in that time.</p>}
      {buckets.map((bucket) => (
        <DaysTable key={bucket.bucketId} bucket={bucket} page={page} />
      ))}
      <p class="soft">
        An empty bucket's weight that was taken from this cell may be off by as much: check it under
        Buckets.
      </p>
    </>
  );
}

function DaysTable(props: { bucket: CorrectionPreview["buckets"][number]; page: PageFrame }) {
  const { bucket, page } = props;
  const volume = (volumeL: number) => formatVolume(volumeL, page.units);
  return (
    <WideTable
      label={`Sap of ${labelOfBucket(page.yard, bucket.bucketId)}, day by day`}
      look="days-table"
    >
      <caption>Sap of {labelOfBucket(page.yard, bucket.bucketId)}, day by day</caption>
      <thead>
        <tr>
          <th scope="col">Day</th>
          <th scope="col">Now</th>
          <th scope="col">Would be</th>
        </tr>
      </thead>
      <tbody>
        {bucket.days.map(({ day, beforeL, afterL }) => (
          <tr key={day}>
            <th scope="row">{day}</th>
            <td>{volume(beforeL)}</td>
            <td>{volume(afterL)}</td>
          </tr>
        ))}
      </tbody>
      <tfoot>
        <tr>
          <th scope="row">Together</th>
          <td>{volume(bucket.beforeL)}</td>
          <td>{volume(bucket.afterL)}</td>
        </tr>
      </tfoot>
    </WideTable>
  );
}
