// Names on the sketch give way to each other and to the paper's edge.
import { expect, it } from "vitest";
import { nameSides } from "../../web/sketch-names.ts";

it("a name with room stands below its dot", () => {
  expect(nameSides([{ name: "Gate", x: 0.5, y: 0.5 }])).toEqual(["below"]);
});

it("of two side by side the second gives way", () => {
  const [first, second] = nameSides([
    { name: "Woodpecker", x: 0.4, y: 0.5 },
    { name: "Brookside", x: 0.5, y: 0.5 },
  ]);
  expect(first).toBe("below");
  expect(second).toBe("above");
});

it("a name is not cut off at the paper's edge while another side is free", () => {
  expect(nameSides([{ name: "Stone Wall", x: 0.5, y: 0.99 }])).toEqual(["above"]);
  expect(nameSides([{ name: "Stone Wall", x: 0.02, y: 0.5 }])).toEqual(["right"]);
  expect(nameSides([{ name: "Stone Wall", x: 0.98, y: 0.5 }])).toEqual(["left"]);
});

it("a name doesn't cover another tree's dot while another side is free", () => {
  const [first] = nameSides([
    { name: "Gate", x: 0.5, y: 0.5 },
    { name: "", x: 0.5, y: 0.56 },
  ]);
  expect(first).toBe("above");
});
