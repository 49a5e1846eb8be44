// What came onto a bucket at once is told apart from what ran in, before and after it counts.
import { expect, it } from "vitest";
import { startFlow, stepFlow } from "../../../../server/domain/flow/flow.ts";
import { laidOnOf } from "../../../../server/domain/flow/laid-on.ts";
import type { FlowState } from "../../../../server/domain/flow/state.ts";
import { msPerMinute } from "../../../../shared/units.ts";

const setup = { emptyG: 1000, capacityG: 19_000 };

/** Weighed each minute; what is told after the last. */
function toldAfter(massesG: number[]) {
  let state: FlowState = startFlow();
  massesG.forEach((massG, minute) => {
    state = stepFlow(state, { atMs: minute * msPerMinute, massG, airC: 4 }, setup).state;
  });
  return laidOnOf(state, massesG.at(-1) ?? 0);
}

const minutes = (count: number, massG: number) => Array.from({ length: count }, () => massG);
const empty = minutes(30, 1000);

it("what was poured in a moment ago did not run in, and once it rests it counts", () => {
  const poured = [...empty, ...minutes(4, 9000)];
  expect(toldAfter(poured)).toMatchObject({ sinceMs: 30 * msPerMinute, isCounted: false });
  expect(toldAfter(poured)?.massG).toBeCloseTo(8000, -2);
  expect(toldAfter([...empty, ...minutes(12, 9000)])).toMatchObject({
    sinceMs: 30 * msPerMinute,
    isCounted: true,
  });
});

it("sap that runs, one stray weight, and a bucket that was emptied since have nothing on them", () => {
  const running = Array.from({ length: 120 }, (_, minute) => 1000 + 10 * minute);
  expect(toldAfter(running)).toBeUndefined();
  expect(toldAfter([...empty, 9000])).toBeUndefined();
  const emptied = [...empty, ...minutes(12, 9000), ...minutes(3, 0), ...minutes(6, 1000)];
  expect(toldAfter(emptied)).toBeUndefined();
});
