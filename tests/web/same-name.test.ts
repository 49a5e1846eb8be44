// One name for two is told before it is sent.
import { expect, test } from "vitest";
import { sameNameWords } from "../../web/same-name.ts";

const others = [
  { id: "gate", label: "Gate" },
  { id: "well", label: "Well" },
];

test("tells of the one that has the name already, however it is written", () => {
  expect(sameNameWords(" gate ", others)).toBe(
    "There is already one called Gate: give this one a name of its own.",
  );
  expect(sameNameWords("gate", others, "well")).toContain("Gate");
});

test("keeping one's own name, and a new one, are fine", () => {
  expect(sameNameWords("Gate", others, "gate")).toBeUndefined();
  expect(sameNameWords("Spring", others)).toBeUndefined();
});
