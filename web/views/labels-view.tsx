// A sheet of labels for one batch, on a page of its own to print.
import { useState } from "preact/hooks";
import { formatSyrup } from "../../shared/people/boil-words.ts";
import { formatDate } from "../../shared/people/format.ts";
import { formatQuantity, quantities } from "../../shared/quantities.ts";
import type { Batch } from "../../shared/wire/boils.ts";
import { useAsked } from "../asking.ts";
import type { PageFrame } from "../page-frame.ts";
import { Outcome } from "../parts/outcome.tsx";
import { hashFromRoute } from "../routes.ts";

const mostLabels = 120;
const usualLabels = 12;

export function LabelsPage({ page, id }: { page: PageFrame; id: string }) {
  const { value, problem } = useAsked<Batch[]>("/batches");
  const batch = value?.find((each) => String(each.id) === id);
  if (batch === undefined) {
    const missing = value === undefined ? undefined : "There is no such batch.";
    return <Outcome sending={{ problem: problem ?? missing, done: undefined }} />;
  }
  return <Sheet page={page} batch={batch} />;
}

function Sheet({ page, batch }: { page: PageFrame; batch: Batch }) {
  const volumes = labelVolumes(batch);
  const [count, setCount] = useState(
    volumes.length === 0 ? usualLabels : Math.min(volumes.length, mostLabels),
  );
  return (
    <>
      <div class="not-printed">
        <h2>
          Labels of batch {batch.number} of {batch.year}
        </h2>
        <p class="soft">
          Before you sell syrup, learn what your place asks of a label: name and address of the
          maker, weight or volume, grade, best-before.
        </p>
        <label class="along">
          <span>{count} labels</span>
          <input
            type="range"
            min="1"
            max={mostLabels}
            value={count}
            onInput={(event) => setCount(Number(event.currentTarget.value))}
          />
        </label>
        <p class="row-ways">
          <button type="button" class="stays" onClick={() => print()}>
            Print
          </button>
          <a class="button is-quiet" href={hashFromRoute({ view: "boil" })}>
            Back to the boil
          </a>
        </p>
      </div>
      <ul class="labels">
        {Array.from({ length: count }, (_, index) => (
          <Label key={index} page={page} batch={batch} volumeL={volumes[index] ?? volumes.at(-1)} />
        ))}
      </ul>
    </>
  );
}

/** One volume for each bottle; spare labels are as the last. */
export function labelVolumes({ bottles }: Pick<Batch, "bottles">): number[] {
  return bottles.flatMap(({ volumeL, count }) => Array.from({ length: count }, () => volumeL));
}

function Label(props: { page: PageFrame; batch: Batch; volumeL: number | undefined }) {
  const { page, batch, volumeL } = props;
  const volume =
    volumeL === undefined ? formatSyrup(batch.volumeL, page.units) : bothUnits(volumeL);
  return (
    <li class="label">
      <b>{batch.ingredients}</b>
      {batch.words !== null && <span class="label-words">{batch.words}</span>}
      <span>{volume}</span>
      <span>
        {batch.colour !== null && `${batch.colour}, `}
        {batch.brix !== null && `${batch.brix.toFixed(1)} °Bx`}
      </span>
      <span class="soft">
        {formatDate(batch.bottledMs, page.timeZone)} {batch.year}, batch {batch.year}-{batch.number}
      </span>
    </li>
  );
}

/** A label is read on both sides of a border: "250 mL (8.45 fl oz)". */
export function bothUnits(volumeL: number): string {
  const metric = formatQuantity(volumeL, quantities.bottleL, "metric");
  return `${metric} (${formatQuantity(volumeL, quantities.bottleL, "us").replace(/(\.\d{2})\d+/, "$1")})`;
}
