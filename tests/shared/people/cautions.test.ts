// The hazards of the trade are all spoken of where their work is.
import { expect, it } from "vitest";
import { type CautionTopic, cautionsDefer, cautionsFor } from "../../../shared/people/cautions.ts";

const must: [CautionTopic, RegExp[]][] = [
  ["tapping", [/owner/, /sprayed/, /salt/, /limbs/, /lead/]],
  ["round", [/ice/, /slope|slide/, /lift/, /limbs/]],
  ["keeping", [/food-grade/, /no guarantee/]],
  ["boil", [/burn/, /rim/, /shallow/, /Fire|fire/, /carbon monoxide/, /licensed/]],
  ["bottling", [/label/, /hot/, /mould/]],
];

it.each(must)("the cautions for %s speak of all that can hurt there", (topic, hazards) => {
  const words = cautionsFor(topic)
    .map(({ hazard, advice }) => `${hazard} ${advice}`)
    .join(" ");
  for (const hazard of hazards) expect(words).toMatch(hazard);
});

it("local codes and licensed practice come first", () => {
  expect(cautionsDefer).toMatch(/Local codes.*licensed/);
});
