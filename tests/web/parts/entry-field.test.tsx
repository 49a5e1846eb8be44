// @vitest-environment happy-dom
// A field for a figure keeps what was typed and says what is wrong once it is left.
import { cleanup, fireEvent, render, screen } from "@testing-library/preact";
import { afterEach, expect, it } from "vitest";
import { quantities } from "../../../shared/quantities.ts";
import { areRight, useEntry } from "../../../web/entry.ts";
import { EntryField } from "../../../web/parts/entry-field.tsx";

afterEach(cleanup);

const sent: unknown[] = [];

function Girth() {
  const girth = useEntry({ quantity: quantities.girthCm, units: "us", before: 144.78 });
  return (
    <>
      <EntryField label="Girth" entry={girth} />
      <button type="button" onClick={() => areRight([girth]) && sent.push(girth.value)}>
        Save
      </button>
    </>
  );
}

const field = () => screen.getByLabelText<HTMLInputElement>(/^Girth/);

it("shows the value in this browser’s unit, and another unit’s meaning below", () => {
  render(<Girth />);
  expect(field().value).toBe("57");
  expect(screen.getByText("in")).toBeTruthy();
  fireEvent.input(field(), { target: { value: "150 cm" } });
  expect(screen.getByText("59.06 in")).toBeTruthy();
  expect(screen.queryByText("in")).toBeNull();
});

it("says what is wrong when it is left, keeps what was typed, and nothing is sent", () => {
  render(<Girth />);
  fireEvent.input(field(), { target: { value: "3 gal" } });
  expect(field().getAttribute("aria-invalid")).toBe("false");
  fireEvent.blur(field());
  expect(field().getAttribute("aria-invalid")).toBe("true");
  expect(screen.getByText(/measures a volume/)).toBeTruthy();
  fireEvent.click(screen.getByText("Save"));
  expect(field().value).toBe("3 gal");
  expect(sent).toEqual([]);
  fireEvent.input(field(), { target: { value: "60 in" } });
  fireEvent.click(screen.getByText("Save"));
  expect(sent).toEqual([152.4]);
});
