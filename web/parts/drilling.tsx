// The next hole: the bark with a spot to point at, how to drill, and writing the hole down.

import { formatTemp } from "../../shared/people/format.ts";
import {
  beyondGirthWords,
  drillingLines,
  drillingProblemWords,
} from "../../shared/people/tree-words.ts";
import { formatQuantity, quantities } from "../../shared/quantities.ts";
import { drillingProblems } from "../../shared/trees/drilling.ts";
import { type HolePlace, type HoleZone, holeFacts, holesTooNear } from "../../shared/trees/hole.ts";
import type { Tree } from "../../shared/wire/records.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import { areRight, type Entry, useEntry } from "../entry.ts";
import { type Moment, useMoment } from "../moment.ts";
import type { PageFrame } from "../page-frame.ts";
import { EntryField } from "./entry-field.tsx";
import { Form } from "./fields.tsx";
import { MomentField } from "./moment-field.tsx";
import { Outcome } from "./outcome.tsx";
import { type DrawnHole, Trunk } from "./trunk.tsx";

export type DrillingProps = {
  tree: Tree;
  girthCm: number;
  holes: readonly DrawnHole[];
  /** Holes on record whose place nobody said. */
  unplaced: number;
  zone: HoleZone;
  proposed: HolePlace | undefined;
  /** How many more taps the guideline leaves room for. */
  room: number;
  page: PageFrame;
  changed: () => Promise<void>;
};

export type HoleEntries = {
  around: Entry;
  height: Entry;
  bit: Entry;
  depth: Entry;
  slope: Entry;
  wood: Entry;
};

/** The figures of a hole as a form takes them; `before` as far as it is known. */
export function useHoleEntries(
  before: { [Part in keyof HoleEntries]: number | null },
  units: PageFrame["units"],
): HoleEntries {
  const rest = { units, optional: true };
  return {
    around: useEntry({ quantity: quantities.aroundCm, before: before.around, ...rest }),
    height: useEntry({ quantity: quantities.holeHeightCm, before: before.height, ...rest }),
    bit: useEntry({ quantity: quantities.bitMm, before: before.bit, ...rest }),
    depth: useEntry({ quantity: quantities.holeDepthMm, before: before.depth, ...rest }),
    slope: useEntry({ quantity: quantities.slopeDegrees, before: before.slope, ...rest }),
    wood: useEntry({ quantity: quantities.woodTempC, before: before.wood, ...rest }),
  };
}

export function HoleFields({ entries }: { entries: HoleEntries }) {
  return (
    <>
      <EntryField label="Around the trunk" entry={entries.around} />
      <EntryField label="Above the ground" entry={entries.height} />
      <EntryField label="Bit" entry={entries.bit} />
      <EntryField label="Depth" entry={entries.depth} />
      <EntryField label="Slope upwards" entry={entries.slope} />
      <EntryField label="The wood’s temperature" entry={entries.wood} />
    </>
  );
}

/** A hole's figures as they are sent. */
export function holeBody(entries: HoleEntries) {
  return {
    aroundCm: entries.around.value ?? null,
    heightCm: entries.height.value ?? null,
    bitMm: entries.bit.value ?? null,
    depthMm: entries.depth.value ?? null,
    slopeDegrees: entries.slope.value ?? null,
    woodTempC: entries.wood.value ?? null,
  };
}

export function Drilling(props: DrillingProps) {
  const { girthCm, holes, zone, proposed, page } = props;
  const { units } = page;
  const entries = useHoleEntries(
    {
      around: proposed?.aroundCm ?? null,
      height: proposed?.heightCm ?? null,
      bit: holeFacts.bitMm.value,
      depth: holeFacts.depthMm.value,
      slope: null,
      wood: null,
    },
    units,
  );
  const spot = spotFrom(entries);
  const choose = (place: HolePlace) => {
    entries.around.set(formatQuantity(place.aroundCm, quantities.aroundCm, units));
    entries.height.set(formatQuantity(place.heightCm, quantities.holeHeightCm, units));
  };
  return (
    <>
      <p class={proposed === undefined ? "problem" : ""}>{proposalWords(props)}</p>
      <Trunk {...{ girthCm, holes, zone, spot, units, choose }} />
      <HowToDrill page={page} />
      <HoleForm {...props} entries={entries} spot={spot} />
    </>
  );
}

function spotFrom({ around, height }: HoleEntries): HolePlace | undefined {
  const { value: aroundCm } = around;
  const { value: heightCm } = height;
  return typeof aroundCm === "number" && typeof heightCm === "number"
    ? { aroundCm, heightCm }
    : undefined;
}

function proposalWords({ holes, unplaced, proposed }: DrillingProps): string {
  if (proposed === undefined) {
    return "No spot from knee to chest height keeps away from all old holes: let the tree rest.";
  }
  const missing =
    unplaced === 0
      ? ""
      : ` The place of ${unplaced === 1 ? "one hole" : `${unplaced} holes`} isn’t on record: look at the bark before you drill.`;
  const why =
    holes.length === 0
      ? unplaced === 0
        ? "No old hole is known: any sound spot will do."
        : "The cross marks a usual height only."
      : "The cross marks the spot with the most room around it; point at another to move it.";
  return `Make a mark on the bark, such as a chalk line facing the path, and measure around from it to the right. ${why}${missing}`;
}

function HowToDrill({ page }: { page: PageFrame }) {
  return (
    <details class="why">
      <summary>How to drill</summary>
      <ul>
        {drillingLines(page.units).map(({ words, source }) => (
          <li key={words}>
            {words} <span class="soft">({source})</span>
          </li>
        ))}
      </ul>
    </details>
  );
}

type FormProps = DrillingProps & { entries: HoleEntries; spot: HolePlace | undefined };

function HoleForm(props: FormProps) {
  const { tree, girthCm, entries, page, changed } = props;
  const { nowMs, timeZone } = page;
  const drilled = useMoment({ nowMs, timeZone, before: Math.floor(nowMs) });
  const pulled = useMoment({ nowMs, timeZone, optional: true });
  const sending = useSending();
  const fields: (Entry | Moment)[] = [...Object.values(entries), drilled, pulled];
  const send = () => {
    if (!areRight(fields)) return;
    const body = holeBody(entries);
    const wrong = beyondGirthWords({ ...body, girthCm }, page.units);
    if (wrong !== undefined) return sending.refuse(wrong);
    const times = { tappedMs: drilled.value ?? null, pulledMs: pulled.value ?? null };
    sending.send(async () => {
      await callApi("POST", "/taps", { treeId: tree.id, ...times, ...body });
      await changed();
    }, "Written down");
  };
  return (
    <Form send={send} label={`A new hole in ${tree.label}`}>
      <HoleFields entries={entries} />
      <MomentField label="Drilled" moment={drilled} />
      <MomentField label="Spile pulled (an old hole)" moment={pulled} />
      <Warnings {...props} isOld={pulled.value !== null} />
      <button type="submit" disabled={sending.busy}>
        Write the hole down
      </button>
      <Outcome sending={sending} />
    </Form>
  );
}

function Warnings(props: FormProps & { isOld: boolean }) {
  const words = warningWords(props);
  if (props.isOld || words.length === 0) return null;
  return (
    <ul class="warnings">
      {words.map((warning) => (
        <li key={warning} class="problem">
          {warning}
        </li>
      ))}
    </ul>
  );
}

/** What speaks against the hole as it stands in the form; it may be written down all the same. */
function warningWords(props: FormProps): string[] {
  const { entries, spot, holes, zone, girthCm, room, page } = props;
  const airC = page.yard.boards.find((board) => board.airC !== null)?.airC ?? null;
  const measuredC = entries.wood.value ?? null;
  const drilling = drillingProblems({
    depthMm: entries.depth.value ?? null,
    bitMm: entries.bit.value ?? null,
    slopeDegrees: entries.slope.value ?? null,
    woodTempC: measuredC ?? airC,
  });
  const near = spot === undefined ? [] : holesTooNear(spot, { oldHoles: holes, girthCm, zone });
  return [
    ...(room > 0 ? [] : ["The guideline leaves no room for one more tap in this tree."]),
    ...(near.length > 0 ? ["Too near an old hole: the wood around it is dead."] : []),
    ...drilling.map((problem) =>
      problem === "frozen wood" && measuredC === null && airC !== null
        ? `The air is ${formatTemp(airC, page.units)}. ${drillingProblemWords[problem]}`
        : drillingProblemWords[problem],
    ),
  ];
}
