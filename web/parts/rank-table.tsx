// The ranked table of trees: litres a tap, share, sugar where it was measured, strength with its drawn interval, onset.

import { formatVolume } from "../../shared/people/format.ts";
import { worthOfSap } from "../../shared/syrup/yield.ts";
import type { Compare, Units } from "../../shared/wire/api.ts";
import { formatMoment, formatShare } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { WideTable } from "./wide-table.tsx";

export type RankedTree = Compare["trees"][number];

/** Best first by litres a tap; trees without a figure come last by name. */
export function rankedTrees(trees: RankedTree[]): RankedTree[] {
  return [...trees].sort(
    (a, b) => (b.perTapL ?? -1) - (a.perTapL ?? -1) || a.label.localeCompare(b.label),
  );
}

export function RankTable({ trees, page }: { trees: RankedTree[]; page: PageFrame }) {
  const top = Math.max(
    1.2,
    ...trees.map(({ strengthHigh, strength }) => strengthHigh ?? strength ?? 0),
  );
  const hasSugar = trees.some(({ sugarBrix }) => sugarBrix !== null);
  return (
    <WideTable label="Trees, best first">
      <thead>
        <tr>
          <th scope="col">Tree</th>
          <th scope="col" class="number">
            A tap
          </th>
          <th scope="col" class="number">
            In all
          </th>
          <th scope="col" class="number">
            Share
          </th>
          {hasSugar && <th scope="col">Sugar</th>}
          <th scope="col">Strength (the yard is 1)</th>
          <th scope="col" class="number">
            Strongest
          </th>
          <th scope="col">Began to run</th>
        </tr>
      </thead>
      <tbody>
        {trees.map((tree) => (
          <RankRow key={tree.treeId} {...{ tree, top, page, hasSugar }} />
        ))}
      </tbody>
    </WideTable>
  );
}

// Less than a glass is what a cell's drift makes too.
const leastRunL = 0.1;

type Row = { tree: RankedTree; top: number; page: PageFrame; hasSugar: boolean };

function RankRow({ tree, top, page, hasSugar }: Row) {
  const { units } = page;
  const least = tree.lowerBound ? "at least " : "";
  return (
    <tr>
      <th scope="row">{tree.label}</th>
      <td class="number">{tree.perTapL === null ? "–" : formatVolume(tree.perTapL, units)}</td>
      <td class="number">
        {least}
        {formatVolume(tree.volumeL, units)}
      </td>
      <td class="number">{tree.share === null ? "–" : formatShare(tree.share)}</td>
      {hasSugar && <td>{sugarWords(tree, units)}</td>}
      <td>
        <Strength tree={tree} top={top} />
      </td>
      <td class="number">{bestWords(tree)}</td>
      <td>{tree.onsetMs === null ? noOnsetWords(tree) : formatMoment(tree.onsetMs, page)}</td>
    </tr>
  );
}

/** A run that was under way when the weighing began has no beginning. */
const noOnsetWords = ({ volumeL }: RankedTree) => (volumeL < leastRunL ? "not yet" : "not seen");

/** "2.3 °Bx, 1.1 L of syrup": what was measured, and what its sap comes to. */
export function sugarWords({ sugarBrix, volumeL }: RankedTree, units: Units): string {
  if (sugarBrix === null) return "–";
  const sugar = `${sugarBrix.toFixed(1)} °Bx`;
  const worth = worthOfSap({ volumeL, brix: sugarBrix });
  if (worth === undefined || volumeL <= 0) return sugar;
  return `${sugar}, ${formatVolume(worth.syrupVolumeL, units)} of syrup`;
}

/** How probably it is the strongest of the yard. */
export function bestWords({ bestProbability }: RankedTree): string {
  if (bestProbability === null) return "–";
  return bestProbability < 0.01 ? "hardly" : formatShare(bestProbability);
}

/** Trees whose taps deserve a look, each with its reason. */
export function WeakTaps({ trees }: { trees: RankedTree[] }) {
  const weak = trees.filter(({ weakReason }) => weakReason !== null);
  if (weak.length === 0) return null;
  return (
    <section aria-label="Taps to look at">
      <h3>Taps to look at</h3>
      <ul class="rows">
        {weak.map(({ treeId, label, weakReason }) => (
          <li key={treeId}>
            <span class="row-words">
              <b>{label}</b> {weakReason}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** "1.30, likely 1.10 to 1.60". */
export function strengthWords(tree: RankedTree): string {
  const { strength, strengthLow, strengthHigh } = tree;
  if (strength === null) return "too early to say";
  const middle = strength.toFixed(2);
  if (strengthLow === null || strengthHigh === null) return middle;
  return `${middle}, likely ${strengthLow.toFixed(2)} to ${strengthHigh.toFixed(2)}`;
}

function Strength({ tree, top }: { tree: RankedTree; top: number }) {
  const { strength, strengthLow, strengthHigh } = tree;
  const at = (value: number) => 4 + (Math.max(0, value) / top) * 110;
  return (
    <span class="strength">
      {strength !== null && (
        <svg viewBox="0 0 120 14" aria-hidden="true">
          <path class="strength-one" d={`M${at(1)} 0V14`} />
          {strengthLow !== null && strengthHigh !== null && (
            <path class="strength-span" d={`M${at(strengthLow)} 7H${at(strengthHigh)}`} />
          )}
          <circle cx={at(strength)} cy="7" r="4" />
        </svg>
      )}
      <span>{strengthWords(tree)}</span>
    </span>
  );
}
