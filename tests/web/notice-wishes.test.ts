// What a person wishes to be told, from the filled form and back, and in words.
import { expect, it } from "vitest";
import type { NoticePerson } from "../../shared/wire/notice-people.ts";
import {
  allKinds,
  filledFrom,
  kindsWords,
  quietWords,
  wishesFrom,
} from "../../web/notice-wishes.ts";

const ann: NoticePerson = {
  id: "1",
  name: "Ann",
  mailTo: "ann@example.test",
  webhook: { url: "https://example.test/set", form: "text", template: "{text}", authorization: "" },
  kinds: ["brim", "boil"],
  fromSeverity: "now",
  quiet: { from: "21:00", until: "07:00" },
  wake: true,
  digest: "19:30",
  browsers: [],
  channels: [],
};

it("a form that nobody touched asks for what was there", () => {
  const { id: _id, browsers: _browsers, channels: _channels, ...wishes } = ann;
  expect(wishesFrom(filledFrom(ann))).toEqual(wishes);
});

it("a way left empty is switched off, and so are quiet hours without a time", () => {
  const emptied = { ...filledFrom(ann), mailTo: " ", url: "", quietUntil: "", digest: "" };
  expect(wishesFrom(emptied)).toMatchObject({
    mailTo: null,
    webhook: null,
    quiet: null,
    digest: null,
  });
});

it("all kinds means those of later versions too", () => {
  expect(wishesFrom({ ...filledFrom(ann), kinds: new Set(allKinds) }).kinds).toBeNull();
});

it("wishes are told in few words", () => {
  expect(kindsWords(null)).toBe("every kind");
  expect(kindsWords(["brim"])).toBe("over before you come");
  expect(kindsWords(allKinds.filter((kind) => kind !== "ending"))).toBe("all but the season's end");
  expect(kindsWords([])).toBe("nothing");
  expect(quietWords(null, true)).toBe("at any hour");
  expect(quietWords({ from: "22:00", until: "06:30" }, false)).toBe(
    "quiet from 22:00 until 06:30, all waits till then",
  );
});
