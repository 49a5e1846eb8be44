// A tree's record: name, species, girth with what it means, how it is, and a note.
import { useState } from "preact/hooks";
import { healthWords, speciesFacts } from "../../shared/people/tree-words.ts";
import { formatQuantity, quantities } from "../../shared/quantities.ts";
import { diameterCmFromGirth, type GirthSlip, girthSlip } from "../../shared/trees/girth.ts";
import { type TreeHealth, treeHealths } from "../../shared/trees/tap-advice.ts";
import type { Units } from "../../shared/wire/api.ts";
import type { Tree } from "../../shared/wire/records.ts";
import { callApi } from "../api.ts";
import { useAsked, useSending } from "../asking.ts";
import { areRight, useEntry } from "../entry.ts";
import type { PageFrame } from "../page-frame.ts";
import { sameNameWords } from "../same-name.ts";
import { EntryField } from "./entry-field.tsx";
import { Form, SelectField, TextField } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

type Filled = { label: string; species: string; health: TreeHealth; note: string };

export function TreeForm(props: {
  page: PageFrame;
  /** Absent for a new one. */
  tree?: Tree;
  saved: (tree: Tree) => void;
}) {
  const { page, tree, saved } = props;
  const { units } = page;
  const [filled, setFilled] = useState<Filled>({
    label: tree?.label ?? "",
    species: tree?.species ?? "",
    health: tree?.health ?? "sound",
    note: tree?.note ?? "",
  });
  const before = tree?.girthCm ?? null;
  const girth = useEntry({ quantity: quantities.girthCm, units, before, optional: true });
  const diameter = useEntry({ quantity: quantities.diameterCm, units, optional: true });
  const sending = useSending();
  const trees = useAsked<Tree[]>("/trees", tree?.id);
  const set = (part: keyof Filled) => (text: string) =>
    setFilled((old) => ({ ...old, [part]: text }));
  const send = () => {
    if (!areRight([girth, diameter])) return;
    const same = sameNameWords(filled.label, trees.value ?? [], tree?.id);
    if (same !== undefined) return sending.refuse(same);
    const body = bodyFrom(filled, girth.value ?? null);
    sending.send(async () => {
      const answer = tree
        ? await callApi<Tree>("PATCH", `/trees/${tree.id}`, body)
        : await callApi<Tree>("POST", "/trees", body);
      await page.refresh();
      saved(answer);
    }, "Saved");
  };
  return (
    <Form send={send} label={tree ? `Change ${tree.label}` : "A new tree"}>
      <TextField label="Name" value={filled.label} set={set("label")} required />
      <SelectField
        label="Species"
        value={filled.species}
        set={set("species")}
        choices={speciesChoices(tree?.species ?? null)}
      />
      <EntryField label="Girth" entry={girth} />
      <EntryField label="Diameter, to check" entry={diameter} />
      <SelectField
        label="How it is"
        value={filled.health}
        set={set("health")}
        choices={treeHealths.map((value) => ({ value, words: healthWords[value] }))}
      />
      <TextField label="Note" value={filled.note} set={set("note")} wide />
      <GirthNote girthCm={girth.value} diameterCm={diameter.value} units={units} />
      {(speciesFacts[filled.species] ?? "") !== "" && (
        <p class="soft is-wide">{speciesFacts[filled.species]}</p>
      )}
      <button type="submit" disabled={sending.busy}>
        {tree ? "Save" : "Add it"}
      </button>
      <Outcome sending={sending} />
    </Form>
  );
}

function bodyFrom({ label, species, health, note }: Filled, girthCm: number | null) {
  return {
    label: label.trim(),
    species: species === "" ? null : species,
    girthCm,
    health,
    note: note.trim() === "" ? null : note.trim(),
  };
}

/** One that was written otherwise before stays to choose. */
function speciesChoices(present: string | null) {
  const names = Object.keys(speciesFacts);
  const all = present === null || names.includes(present) ? names : [...names, present];
  return [{ value: "", words: "not known" }, ...all.map((name) => ({ value: name, words: name }))];
}

type Measured = {
  girthCm: number | null | undefined;
  diameterCm: number | null | undefined;
  units: Units;
};

/** Thinner ones are seldom measured: it may be a diameter in the wrong field (own choice, no source). */
const thinCm = 20;

/** What the tape means, and the commonest slip: half the girth is no diameter. */
export function GirthNote({ girthCm, diameterCm, units }: Measured) {
  if (girthCm === null || girthCm === undefined) {
    return (
      <p class="soft is-wide">
        Measure at breast height, 1.2 to 1.4 m (4 to 4 1/2 ft) above the ground on the uphill side.
      </p>
    );
  }
  const hasDiameter = typeof diameterCm === "number";
  const slip = hasDiameter ? girthSlip({ girthCm, diameterCm }) : undefined;
  if (hasDiameter && slip !== undefined) {
    return <p class="problem">{slipWords(slip, { girthCm, diameterCm, units })}</p>;
  }
  const isThin = !hasDiameter && diameterCmFromGirth(girthCm) < thinCm;
  return (
    <p class="soft is-wide">
      {throughText(diameterCmFromGirth(girthCm), units)} through: the girth divided by 3.14.
      {isThin && " So thin: is that the girth? A diameter goes in the field beside."}
    </p>
  );
}

function throughText(lengthCm: number, units: Units): string {
  return formatQuantity(lengthCm, { ...quantities.diameterCm, figures: 3 }, units);
}

function slipWords(
  slip: GirthSlip,
  { girthCm, diameterCm, units }: { girthCm: number; diameterCm: number; units: Units },
): string {
  const given = throughText(diameterCm, units);
  const through = throughText(diameterCmFromGirth(girthCm), units);
  const words: Record<GirthSlip, string> = {
    "same number": `${given} twice, the same number: is that the girth or the diameter?`,
    halved: `${given} looks like half the girth. The tree is ${through} through: divide the girth by 3.14, not by 2, or it is tapped too young.`,
    apart: `The two don’t agree: ${throughText(girthCm, units)} around is ${through} through (divided by 3.14), not ${given}.`,
  };
  return words[slip];
}
