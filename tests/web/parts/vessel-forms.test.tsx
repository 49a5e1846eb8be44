// @vitest-environment happy-dom
// Pouring into a vessel that has no room by its book is written down, and remarked upon.
import { cleanup, fireEvent, render, screen } from "@testing-library/preact";
import { afterEach, expect, it, vi } from "vitest";
import type { VesselView } from "../../../shared/wire/vessels.ts";
import { PourForm } from "../../../web/parts/vessel-forms.tsx";
import { samplePage, sampleYard } from "../sample-yard.ts";

afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

const can: VesselView = {
  id: "can",
  label: "Can",
  capacityL: 8,
  place: "shade",
  probe: null,
  parked: false,
  filling: false,
  volumeL: 6,
  fullFraction: 0.75,
  sinceMs: null,
  newestMs: null,
  dirty: true,
  washedMs: null,
  tempC: null,
  tempFrom: null,
  keeping: null,
  keepingMissing: null,
  shares: [],
  sugarBrix: null,
  sugarKnownL: 0,
  useFirst: false,
  alarms: [],
};

it.each([
  ["1 L", /^Written down$/],
  ["3 L", /^Written down. By its book Can is over full now, 9.0 L in 8.0 L/],
])("%s into a can of 8 L with 6 L in it", async (volume, said) => {
  vi.stubGlobal("fetch", () => Promise.resolve(Response.json({})));
  const page = samplePage({ yard: sampleYard({ vessels: [can] }) });
  render(<PourForm vessel={can} page={page} />);
  fireEvent.change(screen.getByLabelText("What was done"), { target: { value: "in" } });
  fireEvent.input(screen.getByLabelText(/^How much/), { target: { value: volume } });
  fireEvent.submit(screen.getByRole("form", { name: "Pour out of or into Can" }));
  expect(await screen.findByText(said)).toBeTruthy();
});
