// @vitest-environment happy-dom
// Syrup outside the rules is told before it is bottled or aimed at.
import { render } from "@testing-library/preact";
import { expect, it } from "vitest";
import { DensityNote } from "../../../web/parts/density-note.tsx";

const told = (brix: number | undefined, law: string | undefined) =>
  render(<DensityNote brix={brix} law={law} />).container.textContent;

it("too thin may spoil and too thick crystallises, with the rules that say so", () => {
  expect(told(60, "vermont")).toMatch(
    /^Syrup of 60\.0 Brix may ferment.*\(Vermont: 66\.9 to 68\.9 Brix\)\.$/,
  );
  expect(told(71, "vermont")).toMatch(/^Syrup of 71\.0 Brix crystallises.*\(Vermont:/);
});

it("says nothing of what is right, not typed, or under rules nobody chose", () => {
  expect([told(66.9, "vermont"), told(undefined, "vermont"), told(60, undefined)]).toEqual([
    "",
    "",
    "",
  ]);
});
