// Trees: when to tap, and every tree with its girth, its taps and how they are.
import { useState } from "preact/hooks";
import {
  adviceWords,
  guidelineWords,
  healthWords,
  holeWords,
} from "../../shared/people/tree-words.ts";
import { guidelineOf, tapGuidelines } from "../../shared/trees/guidelines.ts";
import { holeZones } from "../../shared/trees/hole.ts";
import { tapAdvice } from "../../shared/trees/tap-advice.ts";
import type { YardSettings } from "../../shared/wire/api.ts";
import type { Tap, Tree } from "../../shared/wire/records.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import type { PageFrame } from "../page-frame.ts";
import { Cautions } from "../parts/cautions.tsx";
import { SelectField } from "../parts/fields.tsx";
import { Outcome } from "../parts/outcome.tsx";
import { TreeForm } from "../parts/tree-form.tsx";
import { WhenToTap } from "../parts/when-to-tap.tsx";
import { hashFromRoute } from "../routes.ts";
import { tapsOf, useTreeRecords } from "../tree-records.ts";

export function TreesPage({ page }: { page: PageFrame }) {
  const { trees, taps, problem, reload } = useTreeRecords();
  return (
    <>
      <WhenToTap page={page} isTapped={taps?.some(({ pulledMs }) => pulledMs === null) ?? false} />
      <Cautions topic="tapping" />
      <section>
        <h2>Trees</h2>
        <Guidelines page={page} />
        <Outcome sending={{ problem, done: undefined }} />
        {trees?.length === 0 && <p class="soft">No tree is on record yet.</p>}
        <ul class="rows">
          {trees?.map((tree) => (
            <TreeRow key={tree.id} tree={tree} taps={tapsOf(taps ?? [], tree.id)} page={page} />
          ))}
        </ul>
        <NewTree page={page} reload={reload} />
      </section>
    </>
  );
}

function TreeRow({ tree, taps, page }: { tree: Tree; taps: Tap[]; page: PageFrame }) {
  const guideline = guidelineOf(page.yard.yard.tapGuideline);
  const advice = tapAdvice({ ...tree, guideline });
  const used = taps.filter(({ pulledMs }) => pulledMs === null);
  const isOver = advice !== undefined && used.length > advice.taps;
  return (
    <li>
      <span class="row-words">
        <a class="row-name" href={hashFromRoute({ view: "tree", id: tree.id })}>
          {tree.label}
        </a>{" "}
        {[tree.species, tree.health === "sound" ? null : healthWords[tree.health]]
          .filter((word) => word !== null)
          .join(", ")}
        <span class="soft">
          {adviceWords(advice, page.units)}; {countWords(used.length)}
          {isOver && <b class="problem"> more than the guideline</b>}
        </span>
        {used.map((tap) => (
          <span class="soft" key={tap.id}>
            {tap.label}: {holeWords(tap, page)}
          </span>
        ))}
      </span>
    </li>
  );
}

function countWords(count: number): string {
  if (count === 0) return "not tapped";
  return count === 1 ? "1 tap in it" : `${count} taps in it`;
}

/** Sources disagree: the careful ones hold until somebody chooses. */
function Guidelines({ page }: { page: PageFrame }) {
  const { tapGuideline, holeZone } = page.yard.yard;
  const sending = useSending();
  const choose = (body: Partial<YardSettings>) =>
    sending.send(async () => {
      await callApi("PATCH", "/yard", body);
      await page.refresh();
    });
  const zone = holeZones.find(({ key }) => key === holeZone) ?? holeZones[0];
  return (
    <div class="form guidelines">
      <SelectField
        label="How many taps a tree carries"
        value={tapGuideline}
        set={(key) => choose({ tapGuideline: keyIn(tapGuidelines, key) })}
        choices={tapGuidelines.map((one) => ({
          value: one.key,
          words: guidelineWords(one, page.units),
        }))}
      />
      <SelectField
        label="Room kept around old holes"
        value={holeZone}
        set={(key) => choose({ holeZone: keyIn(holeZones, key) })}
        choices={holeZones.map((one) => ({ value: one.key, words: zoneWords(one, page.units) }))}
      />
      <p class="soft is-wide">
        By {guidelineOf(tapGuideline).source}. Room by {zone.source}.
      </p>
      {sending.problem !== undefined && <Outcome sending={sending} />}
    </div>
  );
}

function keyIn<Key extends string>(
  known: readonly [{ key: Key }, ...{ key: Key }[]],
  chosen: string,
): Key {
  return (known.find(({ key }) => key === chosen) ?? known[0]).key;
}

function zoneWords(
  zone: { sidewaysCm: number; verticalCm: number },
  units: PageFrame["units"],
): string {
  const figure = (lengthCm: number) =>
    units === "us" ? String(Math.round(lengthCm / 2.54)) : String(Math.round(lengthCm));
  const unit = units === "us" ? "in" : "cm";
  return `${figure(zone.sidewaysCm)} ${unit} sideways, ${figure(zone.verticalCm)} ${unit} up and down`;
}

function NewTree({ page, reload }: { page: PageFrame; reload: () => void }) {
  const [isOpen, setOpen] = useState(false);
  if (!isOpen) {
    return (
      <button type="button" onClick={() => setOpen(true)}>
        Add a tree
      </button>
    );
  }
  return (
    <>
      <h3>A new tree</h3>
      <TreeForm
        page={page}
        saved={(tree) => {
          reload();
          location.hash = hashFromRoute({ view: "tree", id: tree.id });
        }}
      />
    </>
  );
}
