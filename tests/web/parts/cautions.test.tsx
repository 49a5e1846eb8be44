// @vitest-environment happy-dom
// Cautions are named in sight, and each is told in full with whom to ask first.
import { render } from "@testing-library/preact";
import { expect, it } from "vitest";
import { cautionsDefer, cautionsFor } from "../../../shared/people/cautions.ts";
import { Cautions } from "../../../web/parts/cautions.tsx";

it("every hazard is named in the summary and explained below, deferring to local codes", () => {
  const { container } = render(<Cautions topic="boil" />);
  const summary = container.querySelector("summary")?.textContent ?? "";
  for (const { hazard, advice } of cautionsFor("boil")) {
    expect(summary).toContain(hazard);
    expect(container.textContent).toContain(advice);
  }
  expect(container.textContent).toContain(cautionsDefer);
});
