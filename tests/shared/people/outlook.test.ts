// What is said of a weather forecast that is not used.
import { expect, it } from "vitest";
import { outlookWords } from "../../../shared/people/outlook.ts";
import { outlookStateSchema } from "../../../shared/wire/outlook.ts";

it("tells a person of each state but a used one, and what holds instead", () => {
  for (const state of outlookStateSchema.options) {
    if (state === "used") expect(outlookWords([null, state])).toBeUndefined();
    else expect(outlookWords(["used", state])).toMatch(/weather forecast .+: the warnings expect/);
  }
  expect(outlookWords([null])).toBeUndefined();
});
