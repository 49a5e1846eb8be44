// What pages are told of boards: one that says nothing new is left out of a change.
import { expect, it } from "vitest";
import type { YardChange } from "../../../shared/wire/live.ts";
import { startMs } from "../../helpers/store-rig.ts";
import { commit, filling, hang, openWatchRig } from "../../helpers/watch-rig.ts";

it("a change tells of the boards that spoke, and of all again after a page asked for the whole", async () => {
  const rig = openWatchRig();
  hang(rig, { label: "Gate", cell: "hill/cell-1" });
  hang(rig, { label: "Well", cell: "dell/cell-1" });
  rig.clock.advance(startMs + 600_000 - rig.clock.nowMs());
  const samples = filling({ fromMs: startMs, hours: 1 / 12, flowGPerH: 300 });
  let heard: ((change: YardChange) => void) | undefined;
  rig.watch.onChange((change) => heard?.(change));
  const boardsAfter = (cell: string, sample: (typeof samples)[number] | undefined) =>
    new Promise<string[]>((resolve) => {
      heard = ({ boards }) => boards && resolve(boards.map(({ name }) => name).sort());
      commit(rig, cell, sample === undefined ? [] : [sample]);
    });
  await boardsAfter("dell/cell-1", samples[0]);
  expect(await boardsAfter("hill/cell-1", samples[1])).toEqual(["hill"]);
  expect(await boardsAfter("hill/cell-1", samples[2])).toEqual(["hill"]);
  rig.watch.yardView();
  expect(await boardsAfter("hill/cell-1", samples[3])).toEqual(["dell", "hill"]);
  rig.watch.stop();
});
