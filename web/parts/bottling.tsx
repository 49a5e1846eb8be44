// Bottling: how many bottles it takes, the batch as it goes on record, and its labels.
import { useState } from "preact/hooks";
import { formatPanTemp, formatSyrup } from "../../shared/people/boil-words.ts";
import { formatDate, formatList } from "../../shared/people/format.ts";
import { formatQuantity, quantities } from "../../shared/quantities.ts";
import { bottlesOfSizes, bottlingRules } from "../../shared/syrup/bottling.ts";
import { colourClasses } from "../../shared/syrup/grade.ts";
import { lFromUsGallons } from "../../shared/units.ts";
import type { Units } from "../../shared/wire/api.ts";
import type { Batch, Boil } from "../../shared/wire/boils.ts";
import { callApi } from "../api.ts";
import { type Sending, useSending } from "../asking.ts";
import { areRight, useEntry } from "../entry.ts";
import type { PageFrame } from "../page-frame.ts";
import { hashFromRoute } from "../routes.ts";
import { DensityNote } from "./density-note.tsx";
import { EntryField } from "./entry-field.tsx";
import { Form, TextField } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

type Props = {
  page: PageFrame;
  batches: Batch[];
  boils: Boil[];
  /** The rules that the syrup is to keep. */
  law: string | undefined;
  changed: () => void;
};

const quarterL = 0.25;
const eightFlOzL = lFromUsGallons(1 / 16);

export function Bottling({ page, batches, boils, law, changed }: Props) {
  const sending = useSending();
  const { fillFromC, fillToC, leastCappedC } = bottlingRules;
  const temp = (tempC: number) => formatPanTemp(tempC, page.units);
  const change: Sending["send"] = (work, words) =>
    sending.send(async () => {
      await work();
      changed();
    }, words);
  return (
    <section>
      <h2>Bottling</h2>
      <p class="soft">
        Fill at {temp(fillFromC)} to {temp(fillToC)}, so that it is at least {temp(leastCappedC)}{" "}
        when capped, at least 90 % full once cold; turn the bottles over for 5 to 10 minutes
        (Ontario Ministry of Agriculture; Canadian Food Inspection Agency).
      </p>
      <BatchForm page={page} boil={boils.at(-1)} law={law} change={change} busy={sending.busy} />
      <Outcome sending={sending} />
      <ul class="rows">
        {batches.toReversed().map((batch) => (
          <BatchRow key={batch.id} page={page} batch={batch} change={change} />
        ))}
      </ul>
    </section>
  );
}

type FormProps = {
  page: PageFrame;
  boil: Boil | undefined;
  law: string | undefined;
  change: Sending["send"];
  busy: boolean;
};

function useBatchEntries({ page, boil }: Pick<FormProps, "page" | "boil">) {
  const { units } = page;
  const drawnL = boil?.account.drawnVolumeL;
  return {
    volume: useEntry({ quantity: quantities.syrupL, units, before: drawnL === 0 ? null : drawnL }),
    brix: useEntry({
      quantity: quantities.bottledBrix,
      units,
      before: boil?.aimBrix,
      optional: true,
    }),
    light: useEntry({ quantity: quantities.lightPercent, units, optional: true }),
    temp: useEntry({ quantity: quantities.syrupTempC, units, optional: true }),
    smaller: useEntry({ quantity: quantities.bottleL, units, optional: true }),
    bottle: useEntry({
      quantity: quantities.bottleL,
      units,
      before: units === "us" ? eightFlOzL : quarterL,
    }),
  };
}

function BatchForm({ page, boil, law, change, busy }: FormProps) {
  const entries = useBatchEntries({ page, boil });
  const [words, setWords] = useState("");
  const [ingredients, setIngredients] = useState("Maple syrup");
  const filled = filledBottles(entries.volume.value, [entries.bottle.value, entries.smaller.value]);
  const send = () => {
    if (!areRight(Object.values(entries))) return;
    const { volume, brix, light, temp } = entries;
    const batch = {
      boilId: boil?.id ?? null,
      volumeL: volume.value,
      brix: brix.value,
      transmissionPercent: light.value,
      fillTempC: temp.value,
      bottles: filled?.bottles ?? [],
      ingredients,
      words: words.trim() === "" ? null : words,
    };
    change(() => callApi("POST", "/batches", batch), "On record");
  };
  return (
    <Form send={send} label="A batch">
      <EntryField label="Syrup to bottle" entry={entries.volume} />
      <EntryField label="Its density" entry={entries.brix} />
      <EntryField label="Light it lets through (560 nm, 10 mm)" entry={entries.light} />
      <EntryField label="Filled at" entry={entries.temp} />
      <DensityNote brix={entries.brix.value} law={law} />
      <FillingNote tempC={entries.temp.value} units={page.units} />
      <EntryField label="Size of the bottles" entry={entries.bottle} />
      <EntryField label="Another size for the rest" entry={entries.smaller} />
      <p class="answer is-row" role="status">
        {filled === undefined ? "" : bottlesWords(filled, page.units)}
      </p>
      <TextField label="Ingredients" value={ingredients} set={setIngredients} required />
      <TextField label="Own words for the label" value={words} set={setWords} />
      <button type="submit" disabled={busy}>
        Bottle this batch
      </button>
      <ColourClasses />
    </Form>
  );
}

function FillingNote({ tempC, units }: { tempC: number | null | undefined; units: Units }) {
  const { fillFromC } = bottlingRules;
  if (typeof tempC !== "number" || tempC >= fillFromC) return null;
  return (
    <p class="problem" role="alert">
      At {formatPanTemp(tempC, units)} it may spoil in the bottle: heat it to{" "}
      {formatPanTemp(fillFromC, units)} first, without boiling it.
    </p>
  );
}

export type Filled = ReturnType<typeof bottlesOfSizes>;

/** Whole bottles, brimful when cold, and what is left; undefined until volume and a size are there. */
export function filledBottles(
  volumeL: number | null | undefined,
  sizesL: readonly (number | null | undefined)[],
): Filled | undefined {
  const told = sizesL.filter((size) => typeof size === "number");
  if (typeof volumeL !== "number" || told.length === 0) return undefined;
  return bottlesOfSizes({ syrupVolumeL: volumeL, sizesL: told, fillFraction: 1 });
}

export function bottlesWords({ bottles, leftL }: Filled, units: Units): string {
  const parts = bottles.map(({ volumeL, count }) => {
    const size = formatQuantity(volumeL, quantities.bottleL, units);
    return `${count} ${count === 1 ? "bottle" : "bottles"} of ${size}`;
  });
  const filled = parts.length === 0 ? "Not one bottle" : formatList(parts);
  return `${filled}, ${leftL < 0.005 ? "nothing" : formatSyrup(leftL, units)} left over.`;
}

function ColourClasses() {
  const words = colourClasses.map(
    ({ colour, leastTransmissionPercent }) => `${colour} from ${leastTransmissionPercent} %`,
  );
  return (
    <p class="soft">
      Colour class by light: {words.join(", ")} (USDA 2015; Canada and New York the same). Taste and
      clearness are judged apart.
    </p>
  );
}

const fillingWords: Record<NonNullable<Batch["filling"]>, string> = {
  "too cold": "filled too cold to keep: heat it again and refill",
  cooling: "filled while cooling: cap at once",
  right: "filled hot enough",
  hot: "filled hotter than need be",
};

function BatchRow(props: { page: PageFrame; batch: Batch; change: Sending["send"] }) {
  const { page, batch, change } = props;
  const facts = [
    formatSyrup(batch.volumeL, page.units),
    batch.brix !== null && `${batch.brix.toFixed(1)} Brix`,
    batch.colour !== null && batch.colour,
    ...batch.bottles.map(
      ({ count, volumeL }) =>
        `${count} × ${formatQuantity(volumeL, quantities.bottleL, page.units)}`,
    ),
    batch.filling !== null && fillingWords[batch.filling],
  ];
  const name = `Batch ${batch.number} of ${batch.year}`;
  return (
    <li>
      <span class="row-words">
        <b class="row-name">{name}</b> {formatDate(batch.bottledMs, page.timeZone)}
        <span class="soft">{facts.filter((fact) => fact !== false).join(", ")}</span>
      </span>
      <span class="row-ways">
        <a class="button is-quiet" href={hashFromRoute({ view: "labels", id: String(batch.id) })}>
          Labels<span class="unseen"> of {name}</span>
        </a>
        <button
          type="button"
          onClick={() => change(() => callApi("DELETE", `/batches/${batch.id}`), "Deleted")}
        >
          Delete<span class="unseen"> {name}</span>
        </button>
      </span>
    </li>
  );
}
