// @vitest-environment happy-dom
// Holes as they are typed: one that isn't on its trunk is refused, and stays as it was typed.
import { cleanup, fireEvent, render, screen } from "@testing-library/preact";
import { afterEach, beforeEach, expect, it, vi } from "vitest";
import { holeZones } from "../../../shared/trees/hole.ts";
import type { Tap } from "../../../shared/wire/records.ts";
import { Drilling } from "../../../web/parts/drilling.tsx";
import { TapRow } from "../../../web/parts/tap-row.tsx";
import { samplePage } from "../sample-yard.ts";

const sent = vi.fn(() => Promise.resolve(Response.json({})));
const changed = () => Promise.resolve();
const tree = {
  id: "gate",
  label: "Gate",
  species: null,
  girthCm: 140,
  note: null,
  health: "sound" as const,
};
const beyond = "The trunk is only 140 cm around: a hole can’t be 150 cm around it.";

beforeEach(() => vi.stubGlobal("fetch", sent));
afterEach(() => {
  cleanup();
  sent.mockClear();
  vi.unstubAllGlobals();
});

const around = () => screen.getByLabelText<HTMLInputElement>(/^Around the trunk/);

it("a new hole further around than the girth isn’t written down", () => {
  const rest = { holes: [], unplaced: 0, zone: holeZones[0], proposed: undefined, room: 1 };
  render(<Drilling {...{ tree, girthCm: 140, page: samplePage(), changed }} {...rest} />);
  fireEvent.input(around(), { target: { value: "150 cm" } });
  fireEvent.submit(screen.getByRole("form", { name: "A new hole in Gate" }));
  expect(screen.getByText(beyond)).toBeTruthy();
  expect(around().value).toBe("150 cm");
  expect(sent).not.toHaveBeenCalled();
});

it("nor is one on record moved off its trunk", () => {
  const tap: Tap = {
    id: "gate-1",
    treeId: "gate",
    label: "Gate 1",
    tappedMs: null,
    pulledMs: null,
    aroundCm: 20,
    heightCm: 100,
    bitMm: null,
    depthMm: null,
    slopeDegrees: null,
    woodTempC: null,
  };
  render(<TapRow {...{ tap, girthCm: 140, page: samplePage(), changed }} />);
  fireEvent.click(screen.getByRole("button", { name: /^Change/ }));
  fireEvent.input(around(), { target: { value: "150 cm" } });
  fireEvent.submit(screen.getByRole("form", { name: "Change Gate 1" }));
  expect(screen.getByText(beyond)).toBeTruthy();
  expect(sent).not.toHaveBeenCalled();
});
