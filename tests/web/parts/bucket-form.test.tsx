// @vitest-environment happy-dom
// Changing a bucket: what speaks against what was seen of it is asked before it is saved.
import { cleanup, fireEvent, render, screen } from "@testing-library/preact";
import { afterEach, beforeEach, expect, it, vi } from "vitest";
import type { Gathering } from "../../../shared/wire/records.ts";
import { BucketForm } from "../../../web/parts/bucket-form.tsx";
import { hourMs, nowMs, sampleBucket, samplePage, sampleYard } from "../sample-yard.ts";

const gathering = { id: 1, bucketId: "gate", atMs: nowMs - 30 * hourMs, volumeL: 3.1 };
const gatherings = [{ ...gathering, by: "cell", struck: false, note: null }] as Gathering[];
let patches: unknown[] = [];

beforeEach(() => {
  patches = [];
  vi.stubGlobal("fetch", (path: string, { method, body }: RequestInit) => {
    if (method === "PATCH") patches.push(JSON.parse(String(body)));
    return Promise.resolve(Response.json(path.includes("/gatherings") ? gatherings : []));
  });
});
afterEach(() => {
  cleanup();
  vi.unstubAllGlobals();
});

const well = sampleBucket({ id: "well", label: "Well pail", cell: "hill/cell-2" });
const pail = sampleBucket({ massKg: 1.3, volumeL: 0.2, emptyKg: 1.1 });

async function change(label: RegExp, text: string) {
  const page = samplePage({ yard: sampleYard({ buckets: [pail, well] }) });
  render(<BucketForm bucket={pail} page={page} />);
  // The gatherings are asked for when the form is opened.
  await new Promise((resolve) => setTimeout(resolve, 20));
  const field = screen.getByLabelText(label);
  const type = field.tagName === "SELECT" ? "change" : "input";
  fireEvent[type](field, { target: { value: text } });
  fireEvent.submit(screen.getByRole("form", { name: "Change Gate" }));
}

it.each([
  [/^Holds up to the rim/, "1 L", /^3.1 L were gathered from it .* said to hold\. Save it all/],
  [/^Empty bucket/, "5 kg", /^hill\/cell-1 weighs 1.3 kg with the bucket on it.* Save it all/],
])("asks before it saves %s as %s", async (label, text, question) => {
  await change(label, text);
  expect(screen.getByText(question)).toBeTruthy();
  expect(patches).toEqual([]);
  fireEvent.click(screen.getByRole("button", { name: "Save it" }));
  await screen.findByText("Saved");
  expect(patches).toHaveLength(1);
});

it.each([
  [/^Holds up to the rim/, "3 L"],
  [/^Empty bucket/, "1.3 kg"],
])("saves %s as %s at once", async (label, text) => {
  await change(label, text);
  await screen.findByText("Saved");
  expect(patches).toHaveLength(1);
});

it("offers a cell that carries another bucket, and swaps the two once that was asked", async () => {
  await change(/^Cell$/, "hill/cell-2");
  const chosen = screen.getByLabelText("Cell") as HTMLSelectElement;
  expect(chosen.selectedOptions[0]?.textContent).toBe("hill/cell-2, now Well pail");
  expect(
    screen.getByText("Well pail hangs on hill/cell-1 from now on. Swap the two?"),
  ).toBeTruthy();
  fireEvent.click(screen.getByRole("button", { name: "Save it" }));
  await screen.findByText("Saved");
  expect(patches).toEqual([{ cell: "hill/cell-2", swapWith: "well" }]);
});
