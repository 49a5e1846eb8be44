// The flow of the past on a curve, told by what was weighed before and after.
import { expect, it } from "vitest";
import { createRandom } from "../../helpers/random.ts";
import { startMs } from "../../helpers/store-rig.ts";
import { commit, hang, openWatchRig, type Sample } from "../../helpers/watch-rig.ts";

const hour = 3_600_000;

it("tells the flow of the past better than it was known at the time", async () => {
  const rig = openWatchRig();
  const id = hang(rig, { label: "Gate", cell: "hill/cell-1" });
  const { gaussian } = createRandom(8);
  const fromMs = startMs - 8 * hour;
  const flowGPerH = (atMs: number) => 700 + 400 * Math.sin((1.5 * (atMs - fromMs)) / hour);
  let netG = 200;
  const samples = Array.from({ length: 8 * 120 }, (_, index): Sample => {
    const atMs = fromMs + index * 30_000;
    netG += flowGPerH(atMs) / 120;
    return { atMs, massG: 800 + netG + 5 * gaussian(), airC: 6 };
  });
  commit(rig, "hill/cell-1", samples);
  await rig.watch.settled();
  const span = { fromMs, stepMs: 60_000 };
  const rmsUpTo = (curveAt: (atMs: number) => number | null) => {
    const times = Array.from({ length: 50 }, (_, index) => fromMs + hour + index * 6 * 60_000);
    const errors = times.map((atMs) => (curveAt(atMs) ?? Number.NaN) - flowGPerH(atMs) / 1007.9);
    return Math.sqrt(errors.reduce((sum, error) => sum + error * error, 0) / errors.length);
  };
  const whole = rig.watch.curve(id, { ...span, toMs: startMs });
  const past = rmsUpTo((atMs) => whole.flowLPerH[whole.atMs.indexOf(atMs)] ?? null);
  // The end of a curve that goes no further than that time is what was known then.
  const then = rmsUpTo(
    (atMs) =>
      rig.watch.curve(id, { ...span, fromMs: atMs - 60_000, toMs: atMs }).flowLPerH[0] ?? null,
  );
  expect(past).toBeLessThan(then / 1.4);
  rig.watch.stop();
  rig.stores.close();
});
