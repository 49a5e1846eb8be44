// What is typed about a corrected calibration, and what the board tells about it.
import { expect, it } from "vitest";
import { correctionPostSchema } from "../../shared/wire/corrections.ts";
import { fieldsFromCalibration, parseCorrection } from "../../web/correction.ts";

const span = { cell: "hill/cell-1", fromMs: null, untilMs: 1_700_000_000_000 };

it("takes what the board told, as the server takes it", () => {
  const told = { zeroCounts: -15_020.04, countsPerG: 107.374_182_4, calibratedAtMs: 5 };
  const post = parseCorrection(fieldsFromCalibration(told), span);
  expect(post).toEqual({
    ok: true,
    value: {
      cell: "hill/cell-1",
      fromMs: 0,
      untilMs: 1_700_000_000_000,
      zeroCounts: -15_020,
      countsPerG: 107.37418,
    },
  });
  expect(correctionPostSchema.safeParse(post.ok && post.value).success).toBe(true);
});

it("takes decimal commas, and an end left open for now", () => {
  const post = parseCorrection(
    { zeroCounts: "-15020,5", countsPerG: " 107,4 " },
    { ...span, untilMs: null },
  );
  expect(post).toMatchObject({ value: { zeroCounts: -15_020.5, countsPerG: 107.4 } });
  expect(post.ok && "untilMs" in post.value).toBe(false);
});

it.each([
  [{ zeroCounts: "", countsPerG: "107" }, "Counts when bare is a number from -8388608"],
  [{ zeroCounts: "0", countsPerG: "0" }, 'Counts a gram is a number from 1 to 5000: "0" is not.'],
  [{ zeroCounts: "0", countsPerG: "lots" }, '"lots" is not'],
  [{ zeroCounts: "9e9", countsPerG: "107" }, "Counts when bare"],
])("says what is wrong with %j", (fields, problem) => {
  const post = parseCorrection(fields, span);
  expect(post.ok ? "" : post.problem).toContain(problem);
});

it("refuses an end before the beginning", () => {
  const fields = { zeroCounts: "0", countsPerG: "107" };
  expect(parseCorrection(fields, { ...span, fromMs: span.untilMs })).toMatchObject({ ok: false });
});
