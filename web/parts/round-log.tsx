// What a person writes down on the round: a gathering that no cell saw, and ice thrown out.
import { useState } from "preact/hooks";
import { formatMass } from "../../shared/people/format.ts";
import { quantities } from "../../shared/quantities.ts";
import type { IceThrown } from "../../shared/wire/rounds.ts";
import { callApi } from "../api.ts";
import { useAsked, useSending } from "../asking.ts";
import { areRight, useEntry } from "../entry.ts";
import { formatMoment } from "../format.ts";
import { labelOfBucket, type PageFrame } from "../page-frame.ts";
import { EntryField } from "./entry-field.tsx";
import { Form, SelectField } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

type Logged = { page: PageFrame; changed: () => void };

/** Buckets without a cell first: those are the ones written down by hand. */
function bucketChoices({ yard }: PageFrame) {
  const hung = yard.buckets.filter(({ role, state }) => role === "sap" && state !== "parked");
  const ordered = [...hung].sort(
    (a, b) => Number(a.cell !== null) - Number(b.cell !== null) || a.label.localeCompare(b.label),
  );
  return ordered.map(({ id, label, cell }) => ({
    value: id,
    words: cell === null ? `${label} (no cell)` : label,
  }));
}

export function GatheredByHand({ page, changed }: Logged) {
  const choices = bucketChoices(page);
  const [chosen, setChosen] = useState("");
  const bucketId = chosen === "" ? (choices[0]?.value ?? "") : chosen;
  const volume = useEntry({ quantity: quantities.gatheredL, units: page.units });
  const sending = useSending();
  const send = () => {
    if (!areRight([volume])) return;
    sending.send(async () => {
      await callApi("POST", "/gatherings", { bucketId, volumeL: volume.value });
      volume.reset();
      changed();
    }, "Written down");
  };
  if (choices.length === 0) return null;
  const isSeen = page.yard.buckets.some(({ id, cell }) => id === bucketId && cell !== null);
  return (
    <section>
      <h3>Gathered without a cell</h3>
      <Form send={send} label="Write a gathering down by hand">
        <SelectField label="Bucket" value={bucketId} set={setChosen} choices={choices} />
        <EntryField label="Gathered just now" entry={volume} />
        {isSeen && (
          <p class="soft is-wide">
            Its cell books its gatherings itself: write down only what it missed.
          </p>
        )}
        <button type="submit" disabled={sending.busy}>
          Write it down
        </button>
        <Outcome sending={sending} />
      </Form>
    </section>
  );
}

export function IceThrownOut({ page }: { page: PageFrame }) {
  const [asked, setAsked] = useState(0);
  const { value } = useAsked<IceThrown[]>("/ice", asked);
  const choices = bucketChoices(page);
  const [chosen, setChosen] = useState("");
  const bucketId = chosen === "" ? (choices[0]?.value ?? "") : chosen;
  const mass = useEntry({ quantity: quantities.iceKg, units: page.units });
  const sending = useSending();
  const change = (work: () => Promise<unknown>, words?: string) =>
    sending.send(async () => {
      await work();
      setAsked((count) => count + 1);
    }, words);
  const send = () => {
    if (!areRight([mass])) return;
    change(async () => {
      await callApi("POST", "/ice", { bucketId, massKg: mass.value });
      mass.reset();
    }, "Written down");
  };
  if (choices.length === 0) return null;
  return (
    <section>
      <h3>Ice thrown out</h3>
      <p class="soft">
        The first ice holds little sugar, but not none; sources disagree on throwing it away. It is
        reckoned with a fifth of the sap's sugar.
      </p>
      <Form send={send} label="Write down ice thrown out">
        <SelectField label="Out of" value={bucketId} set={setChosen} choices={choices} />
        <EntryField label="Ice weighed" entry={mass} />
        <button type="submit" disabled={sending.busy}>
          Write it down
        </button>
        <Outcome sending={sending} />
      </Form>
      <ul class="rows">
        {(value ?? [])
          .slice(-5)
          .reverse()
          .map((ice) => (
            <IceRow key={ice.id} ice={ice} page={page} change={change} />
          ))}
      </ul>
    </section>
  );
}

function IceRow(props: {
  ice: IceThrown;
  page: PageFrame;
  change: (work: () => Promise<unknown>) => void;
}) {
  const { ice, page, change } = props;
  return (
    <li>
      <span class="row-words">
        <b>{formatMass(ice.massKg, page.units)}</b> out of {labelOfBucket(page.yard, ice.bucketId)},{" "}
        {formatMoment(ice.atMs, page)}
        <span class="soft">
          with about {Math.round(ice.sugarG)} g of sugar, {Math.round(ice.syrupMl)} mL of syrup
        </span>
      </span>
      <span class="row-ways">
        <button type="button" onClick={() => change(() => callApi("DELETE", `/ice/${ice.id}`))}>
          Delete
        </button>
      </span>
    </li>
  );
}
