// @vitest-environment happy-dom
// What is written down by hand on the round.
import { cleanup, fireEvent, render, screen } from "@testing-library/preact";
import { afterEach, expect, it } from "vitest";
import { GatheredByHand } from "../../../web/parts/round-log.tsx";
import { sampleBucket, samplePage, sampleYard } from "../sample-yard.ts";

afterEach(cleanup);

it("a bucket whose cell gathers by itself says so, one without a cell doesn’t", () => {
  const spring = sampleBucket({ id: "spring", label: "Spring", cell: null });
  const yard = sampleYard({ buckets: [sampleBucket(), spring] });
  render(<GatheredByHand page={samplePage({ yard })} changed={() => undefined} />);
  const said = /books its gatherings itself: write down only what it missed/;
  expect(screen.queryByText(said)).toBeNull();
  fireEvent.change(screen.getByLabelText("Bucket"), { target: { value: "gate" } });
  expect(screen.getByText(said)).toBeTruthy();
});
