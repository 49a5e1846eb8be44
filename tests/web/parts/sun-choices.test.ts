// The choices of sun: plain words, and no loss of a share set by other means.
import { expect, it } from "vitest";
import { sunChoices } from "../../../web/parts/sun-choices.ts";

it("offers the sun from all day to none, the present share among them", () => {
  expect(sunChoices(1).map(({ value }) => value)).toEqual(["1", "0.5", "0.25", "0"]);
  expect(sunChoices(0.7).map(({ value }) => value)).toEqual(["1", "0.7", "0.5", "0.25", "0"]);
  expect(sunChoices(0.7)[1]?.words).toBe("70 % of the sun");
});
