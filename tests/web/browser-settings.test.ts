// What a browser remembers: units and sound.
import { expect, it } from "vitest";
import { chosenUnits, isSoundOn } from "../../web/browser-settings.ts";

function keepOf(kept: Record<string, string>) {
  return {
    getItem: (name: string) => kept[name] ?? null,
    setItem: (name: string, value: string) => {
      kept[name] = value;
    },
  };
}

it("units are the yard's until this browser chooses", () => {
  expect(chosenUnits(keepOf({}), "us")).toBe("us");
  expect(chosenUnits(keepOf({ units: "metric" }), "us")).toBe("metric");
});

it("units that are none are as good as not chosen", () => {
  expect(chosenUnits(keepOf({ units: "furlongs" }), "metric")).toBe("metric");
});

it("sound is off until it is switched on", () => {
  expect(isSoundOn(keepOf({}))).toBe(false);
  expect(isSoundOn(keepOf({ sound: "on" }))).toBe(true);
});
