// The log of the boil that goes on, and the boils before it.
import { useState } from "preact/hooks";
import {
  entryWords,
  formatEvaporation,
  formatHours,
  formatSyrup,
  fuelWords,
} from "../../shared/people/boil-words.ts";
import { formatMass, formatVolume } from "../../shared/people/format.ts";
import { type Quantity, quantities } from "../../shared/quantities.ts";
import type { Boil, BoilEntry } from "../../shared/wire/boils.ts";
import type { BoilPlan } from "../../shared/wire/syrup.ts";
import { callApi } from "../api.ts";
import { type Sending, useSending } from "../asking.ts";
import { areRight, useEntry } from "../entry.ts";
import { formatMoment, formatShare } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { AskedButton } from "./asked-button.tsx";
import { BoilTimes } from "./boil-times.tsx";
import { Choice } from "./choice.tsx";
import { EntryField } from "./entry-field.tsx";
import { Form, SelectField } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

type Props = { page: PageFrame; boils: Boil[]; plan: BoilPlan | undefined; changed: () => void };
type Change = (work: () => Promise<unknown>, doneWords?: string) => void;

export function BoilLog({ page, boils, plan, changed }: Props) {
  const sending = useSending();
  const change: Change = (work, words) =>
    sending.send(async () => {
      await work();
      changed();
    }, words);
  const open = boils.findLast(({ endedMs }) => endedMs === null);
  const past = boils.filter(({ endedMs }) => endedMs !== null).toReversed();
  return (
    <section>
      <h2>The log</h2>
      {open === undefined ? (
        <button
          type="button"
          class="is-main"
          onClick={() => change(() => callApi("POST", "/boils", {}), "The boil has begun")}
        >
          Begin a boil
        </button>
      ) : (
        <OpenBoil page={page} boil={open} plan={plan} change={change} busy={sending.busy} />
      )}
      <Outcome sending={sending} />
      {past.length > 0 && (
        <>
          <h3 class="past-head">Boils before</h3>
          <ul class="rows">
            {past.map((boil) => (
              <PastBoil key={boil.id} page={page} boil={boil} change={change} />
            ))}
          </ul>
        </>
      )}
    </section>
  );
}

type Kind = "pan" | "sap" | "fuel" | "drawn";
const kinds: readonly Kind[] = ["pan", "sap", "fuel", "drawn"];
const kindWords: Record<Kind, string> = {
  pan: "Pan's temperature",
  sap: "Sap poured in",
  fuel: "Fuel put on",
  drawn: "Drawn off",
};

function OpenBoil(props: {
  page: PageFrame;
  boil: Boil;
  plan: BoilPlan | undefined;
  change: Change;
  busy: boolean;
}) {
  const { page, boil, change } = props;
  const [kind, setKind] = useState<Kind>(boil.entries.length === 0 ? "sap" : "pan");
  const end = () =>
    change(
      () => callApi("PATCH", `/boils/${boil.id}`, { endedMs: Math.floor(page.nowMs) }),
      "The boil is over",
    );
  return (
    <>
      <p class="soft">
        Begun {formatMoment(boil.startedMs, page)}, aimed at {boil.aimBrix.toFixed(1)} Brix,{" "}
        {fuelWords[boil.fuel]}. {sumWords(boil, page)}
      </p>
      <Choice legend="Log" names={kinds} words={kindWords} now={kind} choose={setKind} />
      <NewEntry key={kind} kind={kind} {...props} />
      <EntryRows page={page} boil={boil} change={change} />
      <p>
        <button type="button" onClick={end}>
          The boil is over
        </button>
      </p>
    </>
  );
}

type Asked = { field: "tempC" | "volumeL" | "amount"; label: string; quantity: Quantity };

function askedBy(kind: Kind, boil: Boil): Asked {
  switch (kind) {
    case "pan":
      return { field: "tempC", label: "The thermometer shows", quantity: quantities.panTempC };
    case "sap":
      return { field: "volumeL", label: "Sap poured in", quantity: quantities.sapL };
    case "fuel":
      return boil.fuel === "electricity"
        ? { field: "amount", label: "Electricity used", quantity: quantities.energyKwh }
        : { field: "amount", label: "Fuel put on", quantity: quantities.fuelKg };
    case "drawn":
      return { field: "volumeL", label: "Drawn off", quantity: quantities.syrupL };
  }
}

function NewEntry(props: {
  page: PageFrame;
  boil: Boil;
  plan: BoilPlan | undefined;
  kind: Kind;
  change: Change;
  busy: boolean;
}) {
  const { page, boil, plan, kind, change } = props;
  const { units } = page;
  const asked = askedBy(kind, boil);
  const [vesselId, setVesselId] = useState(firstVessel(page)?.id ?? "");
  const vessel = page.yard.vessels.find(({ id }) => id === vesselId);
  const before = kind === "sap" ? (vessel?.volumeL ?? sapBefore(boil, plan)) : undefined;
  const figure = useEntry({ quantity: asked.quantity, units, before: before || null });
  const isSap = kind === "sap";
  const brix = useEntry({
    quantity: isSap ? quantities.sapBrix : quantities.syrupBrix,
    units,
    before: isSap ? (vessel?.sugarBrix ?? plan?.sap.brix) : boil.aimBrix,
    optional: true,
  });
  const hasBrix = isSap || kind === "drawn";
  const send = () => {
    if (!areRight(hasBrix ? [figure, brix] : [figure])) return;
    const entry = {
      kind,
      [asked.field]: figure.value,
      ...(hasBrix && typeof brix.value === "number" && { brix: brix.value }),
      ...(isSap &&
        vessel !== undefined && { vesselId: vessel.id, tempC: vessel.keeping?.sapTempC }),
    };
    change(async () => {
      await callApi("POST", `/boils/${boil.id}/entries`, entry);
      figure.reset();
      brix.reset();
    }, "Logged");
  };
  return (
    <Form send={send} label={kindWords[kind]}>
      {isSap && page.yard.vessels.length > 0 && (
        <SelectField
          label="Out of"
          value={vesselId}
          set={setVesselId}
          choices={sourceChoices(page)}
        />
      )}
      <EntryField label={asked.label} entry={figure} />
      {hasBrix && <EntryField label={isSap ? "Its sugar" : "Its density"} entry={brix} />}
      <button type="submit" disabled={props.busy}>
        Log it
      </button>
      {kind === "drawn" && (
        <p class="soft">As much as it is cold; hot syrup fills about 4 % more.</p>
      )}
    </Form>
  );
}

/** The vessel whose sap is to be boiled first. */
function firstVessel({ yard }: PageFrame) {
  const held = yard.vessels.filter(({ parked, volumeL }) => !parked && volumeL > 0);
  return held.find(({ useFirst }) => useFirst) ?? held[0];
}

/** With nothing in the log yet, all that waits is about to be poured in. */
function sapBefore(boil: Boil, plan: BoilPlan | undefined): number | undefined {
  return boil.entries.length === 0 ? plan?.sap.volumeL : undefined;
}

function sourceChoices({ yard, units }: PageFrame) {
  const vessels = yard.vessels
    .filter(({ parked }) => !parked)
    .map(({ id, label, volumeL }) => ({
      value: id,
      words: `${label}, ${formatVolume(volumeL, units)}`,
    }));
  return [{ value: "", words: "elsewhere, or straight from the buckets" }, ...vessels];
}

function EntryRows({ page, boil, change }: { page: PageFrame; boil: Boil; change: Change }) {
  return (
    <ul class="rows">
      {boil.entries.toReversed().map((entry) => (
        <EntryRow key={entry.id} page={page} boil={boil} entry={entry} change={change} />
      ))}
    </ul>
  );
}

function EntryRow(props: { page: PageFrame; boil: Boil; entry: BoilEntry; change: Change }) {
  const { page, boil, entry } = props;
  const words = entryWords(entry, boil.fuel, page.units);
  const strike = () => callApi("DELETE", `/boil-entries/${entry.id}`);
  return (
    <li>
      <span class="row-words">
        {words} <span class="soft">{formatMoment(entry.atMs, page)}</span>
      </span>
      <span class="row-ways">
        <button type="button" onClick={() => props.change(strike, "Taken out")}>
          Take out<span class="unseen"> {words}</span>
        </button>
      </span>
    </li>
  );
}

/** What the log adds up to so far. */
function sumWords({ account, fuel, panAreaM2 }: Boil, page: PageFrame): string {
  const { units } = page;
  const parts = [
    `${formatVolume(account.sapVolumeL, units)} of sap in`,
    account.drawnVolumeL > 0 && `${formatSyrup(account.drawnVolumeL, units)} drawn off`,
    account.waterKg !== null && `${formatMass(account.waterKg, units)} of water gone`,
    account.hours !== null && formatHours(account.hours),
    isBeyondBelief(account, panAreaM2) &&
      "a rate that no pan has (the plan learns nothing from it: see the times and litres)",
    account.evaporationMmPerH !== null && formatEvaporation(account.evaporationMmPerH, units),
    account.efficiency !== null &&
      `${formatShare(account.efficiency)} of the heat of the ${fuelWords[fuel]} arrived`,
  ];
  return `${parts.filter((part) => part !== false).join(", ")}.`;
}

/** All that tells a rate is there, but the rate can't be. */
function isBeyondBelief(account: Boil["account"], panAreaM2: number | null): boolean {
  const { waterKg, hours, evaporationMmPerH } = account;
  return panAreaM2 !== null && hours !== null && (waterKg ?? 0) > 0 && evaporationMmPerH === null;
}

function PastBoil({
  page,
  boil,
  change,
}: {
  page: PageFrame;
  boil: Boil;
  change: Sending["send"];
}) {
  const [isOpen, setOpen] = useState(false);
  const path = `/boils/${boil.id}`;
  return (
    <li>
      <span class="row-words">
        <b>{formatMoment(boil.startedMs, page)}</b> {sumWords(boil, page)}
      </span>
      <span class="row-ways">
        <button type="button" class="stays" aria-expanded={isOpen} onClick={() => setOpen(!isOpen)}>
          {isOpen ? "Fold" : "Unfold"}
        </button>
        <button
          type="button"
          onClick={() => change(() => callApi("PATCH", path, { endedMs: null }), "Goes on")}
        >
          It goes on
        </button>
      </span>
      {isOpen && (
        <div class="row-more">
          <EntryRows page={page} boil={boil} change={change} />
          <BoilTimes page={page} boil={boil} change={change} />
          <AskedButton
            question="Delete this boil with its whole log?"
            yes="Delete it"
            act={() => change(() => callApi("DELETE", path), "Deleted")}
          >
            Delete this boil
          </AskedButton>
        </div>
      )}
    </li>
  );
}
