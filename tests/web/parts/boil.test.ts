// What the boil's parts work out in the page: bottles, hydrometer, the season's drawing.
import { expect, it } from "vitest";
import { seasonDrawing } from "../../../web/charts/season-curve.tsx";
import { hydrometerWords, panBrixWords } from "../../../web/parts/batch-sums.tsx";
import { bottlesWords, filledBottles } from "../../../web/parts/bottling.tsx";
import { bothUnits, labelVolumes } from "../../../web/views/labels-view.tsx";

it("bottles and what is left over hold all the syrup", () => {
  const filled = filledBottles(3.4, [0.25, null])!;
  expect(filled.bottles).toEqual([{ volumeL: 0.25, count: 13 }]);
  expect(13 * 0.25 + filled.leftL).toBeCloseTo(3.4, 9);
  expect(bottlesWords(filled, "metric")).toBe("13 bottles of 250 mL, 0.15 L left over.");
  const two = filledBottles(3.4, [0.1, 0.25])!;
  expect(bottlesWords(two, "metric")).toBe(
    "13 bottles of 250 mL and 1 bottle of 100 mL, 0.05 L left over.",
  );
  expect(bottlesWords({ bottles: [], leftL: 0.1 }, "metric")).toBe(
    "Not one bottle, 0.10 L left over.",
  );
  expect(filledBottles(undefined, [0.25])).toBeUndefined();
  expect(filledBottles(1, [null, undefined])).toBeUndefined();
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
  expect(hydrometerWords({ reading: 66.9, tempC: 15.56, plan })).toMatch(
    /^It is 66\.9 Brix, right/,
  );
  expect(hydrometerWords({ reading: null, tempC, plan })).toMatch(/^At that temperature/);
  expect(hydrometerWords({ reading: 59, tempC: undefined, plan })).toBe("");
});

it("the pan's temperature is told as Brix with its doubt, and not where it says nothing", () => {
  // 100 kPa: 66.9 Brix boil at 103.80 C (IAPWS-IF97 and Starzak & Peacock 1997).
  const pressure = { pressurePa: 100_000 } as Parameters<typeof panBrixWords>[1]["pressure"];
  const thermometer = { offsetC: 0.4 } as NonNullable<typeof finishing.thermometer>;
  const plan = { pressure, finishing: { ...finishing, thermometer, spreadC: 0.1 } };
  expect(panBrixWords(104.2, plan)).toBe("The pan has 66.9 Brix, give or take 0.4.");
  expect(panBrixWords(99.5, plan)).toMatch(/^Water doesn't boil/);
  expect(panBrixWords(100.2, plan)).toMatch(/^Still thin/);
  expect(panBrixWords(null, plan)).toBe("");
});

it("a label tells its volume on both sides of the border", () => {
  // 250 mL / 29.5735 mL (US fluid ounce, NIST SP 811).
  expect(bothUnits(0.25)).toBe("250 mL (8.45 fl oz)");
});

it("each bottle gets a label with its own size", () => {
  const bottles = [
    { volumeL: 0.5, count: 2 },
    { volumeL: 0.25, count: 1 },
  ];
  expect(labelVolumes({ bottles })).toEqual([0.5, 0.5, 0.25]);
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
