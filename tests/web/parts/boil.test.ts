// What the boil's parts work out in the page: bottles, hydrometer, the season's drawing.
import { expect, it } from "vitest";
import { seasonDrawing } from "../../../web/charts/season-curve.tsx";
import { hydrometerWords } from "../../../web/parts/batch-sums.tsx";
import { bottlesWords, filledBottles } from "../../../web/parts/bottling.tsx";
import { bothUnits } from "../../../web/views/labels-view.tsx";

it("bottles and what is left over hold all the syrup", () => {
  const filled = filledBottles(3.4, 0.25)!;
  expect(filled).toMatchObject({ bottles: 13 });
  expect(filled.bottles * 0.25 + filled.leftL).toBeCloseTo(3.4, 9);
  expect(bottlesWords(filled, "metric")).toBe("13 bottles of 250 mL, 0.15 L left over.");
  expect(bottlesWords({ bottles: 1, leftL: 0, bottleL: 1 }, "metric")).toBe(
    "1 bottle of 1000 mL, nothing left over.",
  );
  expect(filledBottles(undefined, 0.25)).toBeUndefined();
});

const finishing = {
  aimBrix: 66.9,
  law: "vermont",
  lawName: "Vermont",
} as Parameters<typeof hydrometerWords>[0]["plan"]["finishing"];

it("a hydrometer's hot reading is told as Brix, with what it should be", () => {
  // Marked at 60 F, syrup of 66.9 shows 59.0 at 211 F (ICUMSA densities and glass of 25e-6 per C).
  const tempC = (211 - 32) / 1.8;
  const plan = { finishing };
  expect(hydrometerWords({ reading: 59, tempC, plan })).toMatch(
    /^It is 66\.[89] Brix, (right|too thin) for Vermont. At that temperature syrup of 66.9 Brix shows 59\.0\.$/,
  );
  expect(hydrometerWords({ reading: null, tempC, plan })).toMatch(/^At that temperature/);
  expect(hydrometerWords({ reading: 59, tempC: undefined, plan })).toBe("");
});

it("a label tells its volume on both sides of the border", () => {
  // 250 mL / 29.5735 mL (US fluid ounce, NIST SP 811).
  expect(bothUnits(0.25)).toBe("250 mL (8.45 fl oz)");
});

it("a season's bars stand on their days, and the line ends at the sum", () => {
  const days = [
    { day: "2026-03-10", volumeL: 10, lastYearVolumeL: null },
    { day: "2026-03-12", volumeL: 30, lastYearVolumeL: 60 },
  ];
  const drawn = seasonDrawing(days, "metric");
  expect(drawn).toMatchObject({ topL: 60, sumL: 40 });
  const [first, second] = drawn.bars;
  expect(second!.x - first!.x).toBeCloseTo((2 * (720 - 8)) / 3, 6);
  expect(second!.height / first!.height).toBeCloseTo(3, 9);
  expect(drawn.sum.split("L")).toHaveLength(2);
  expect(drawn.before).toMatch(/^M\S+ 12\.0h/);
  expect(seasonDrawing([], "metric").bars).toEqual([]);
});
