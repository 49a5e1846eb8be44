// The comparison over a real store: a tree's sugar is the mean of what was measured in the span.
import { expect, it } from "vitest";
import { msPerDay } from "../../../shared/units.ts";
import { startMs } from "../../helpers/store-rig.ts";
import { openWatchRig } from "../../helpers/watch-rig.ts";

it("a tree's sugar is the mean of what was measured in the span, and nothing without", () => {
  const { watch, stores } = openWatchRig();
  for (const label of ["Gate", "Well"]) {
    stores.trees.insert({ label, species: null, girthCm: null, note: null, health: "sound" });
  }
  const measured = (treeId: string, days: number, brix: number) =>
    stores.sugars.insert({
      treeId,
      atMs: startMs + days * msPerDay,
      instrument: "refractometer",
      readingBrix: brix,
      tempC: null,
      markedAtC: null,
      brix,
    });
  measured("gate", -400, 9);
  measured("gate", 1, 2.5);
  measured("gate", 5, 1.9);
  const { trees } = watch.compare({ fromMs: startMs, toMs: startMs + 10 * msPerDay });
  expect(trees.map(({ treeId, sugarBrix }) => [treeId, sugarBrix])).toEqual([
    ["gate", 2.2],
    ["well", null],
  ]);
});
