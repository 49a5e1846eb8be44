// Tests every refusal of a board's pack, and that what is good beside it is kept.
import fc from "fast-check";
import { expect, test } from "vitest";
import { parsePack, salvageNumbering } from "../../../shared/wire/pack.ts";

const nowMs = Date.UTC(2026, 2, 14, 15);
const context = { board: "hill", nowMs };

function pack(...records: object[]) {
  const parsed = parsePack(JSON.stringify([{ bn: "hill/" }, ...records]), context);
  if (!parsed.ok) throw new Error(parsed.problem);
  return parsed.value;
}

test("the pack of the contract is read whole", () => {
  const text = `[{"bn":"hill/","bt":1772000000,"n":"batch","u":"count","v":123},{"n":"spool","vs":"a1b2"},{"n":"cell-1/mass","u":"kg","t":0,"v":7.312},{"n":"cell-1/spread","u":"kg","v":0.004},{"n":"cell-1/counts","u":"count","v":784123},{"n":"probe/air","u":"Cel","v":-1.25},{"n":"pressure","u":"Pa","v":98120},{"n":"supply","u":"V","v":12.4},{"n":"cell-2/fault","vs":"absent"}]`;
  const atMs = 1_772_000_000_000;
  expect(parsePack(text, context)).toEqual({
    ok: true,
    value: {
      spool: "a1b2",
      batch: 123,
      skipped: 0,
      newestMs: atMs,
      masses: [{ cell: "cell-1", atMs, massG: 7312, spreadG: 4, counts: 784_123 }],
      temperatures: [{ probe: "air", atMs, tempC: -1.25 }],
      values: [
        { quantity: "pressure", atMs, value: 98_120 },
        { quantity: "supply", atMs, value: 12.4 },
      ],
      faults: [{ cell: "cell-2", atMs, fault: "absent" }],
      refusals: [],
    },
  });
});

test("grams and kelvin are taken too", () => {
  const { masses, temperatures } = pack(
    { n: "cell-1/mass", u: "g", v: 7312 },
    { n: "probe/sap-cell-1", u: "K", v: 273.15 },
  );
  expect(masses).toMatchObject([{ massG: 7312 }]);
  expect(temperatures).toEqual([{ probe: "sap-cell-1", atMs: nowMs, tempC: 0 }]);
});

const mass = { n: "cell-1/mass", u: "kg", v: 7 };
const ahead = "2026-03-14T16:00:01.000Z";

test.each([
  ["a wrong unit", { ...mass, u: "lb" }, 'mass requires unit kg or g, got "lb"'],
  [
    "a property's name as unit",
    { ...mass, u: "toString" },
    'mass requires unit kg or g, got "toString"',
  ],
  ["no unit", { n: mass.n, v: 7 }, "mass requires unit kg or g, got none"],
  ["a text for a number", { n: mass.n, u: "kg", vs: "7" }, 'mass requires a number in v, got "7"'],
  [
    "a null for a number",
    { ...mass, v: null },
    "v requires Invalid input: expected number, received null",
  ],
  ["an absurd mass", { ...mass, v: 1000.1 }, "mass requires at most 1000 kg, got 1000.1 kg"],
  ["an absurd negative mass", { ...mass, v: -2000 }, "mass requires at most 1000 kg, got -2000 kg"],
  [
    "a time ahead",
    { ...mass, t: 3601 },
    `time requires at most 1 h ahead of the server's clock, got ${ahead}`,
  ],
  [
    "a time before 2000",
    { ...mass, t: 946_684_799 },
    "time requires the year 2000 or later, got 1999-12-31T23:59:59.000Z",
  ],
  [
    "heat",
    { n: "probe/air", u: "Cel", v: 150.1 },
    "probe/air requires -90 to 150 Cel, got 150.1 Cel",
  ],
  ["cold", { n: "probe/air", u: "K", v: 100 }, "probe/air requires -90 to 150 Cel, got 100 K"],
  [
    "hectopascals",
    { n: "pressure", u: "Pa", v: 981 },
    "pressure requires 30000 to 115000 Pa, got 981",
  ],
  [
    "a wrong unit of pressure",
    { n: "pressure", u: "hPa", v: 981 },
    'pressure requires unit Pa, got "hPa"',
  ],
  ["a supply of 1 kV", { n: "supply", u: "V", v: 1000 }, "supply requires 0 to 100 V, got 1000"],
  [
    "an unknown fault",
    { n: "cell-1/fault", vs: "tired" },
    'fault requires vs with absent, saturated, stuck, uncalibrated, got "tired"',
  ],
  [
    "an unknown quantity",
    { n: "cell-1/colour", u: "kg", v: 1 },
    'name requires mass, spread, counts or fault of a cell, got "colour"',
  ],
  [
    "an unknown name",
    { n: "humidity", u: "%", v: 1 },
    'name requires <cell>/mass, probe/<name>, pressure or supply, got "humidity"',
  ],
  [
    "a bad cell name",
    { ...mass, n: "Cell/mass" },
    'cell requires a name of up to 32 of a-z 0-9 -, got "Cell"',
  ],
  [
    "a bad probe name",
    { n: "probe/Air", u: "Cel", v: 1 },
    'probe requires a name of up to 32 of a-z 0-9 -, got "Air"',
  ],
  [
    "a spread alone",
    { n: "cell-1/spread", u: "kg", v: 1 },
    "spread requires a mass of the same cell and time, got none",
  ],
  [
    "a negative spread",
    { n: "cell-1/spread", u: "kg", v: -1 },
    "spread requires 0 to 1000 kg, got -1 kg",
  ],
  [
    "counts of 33 bits",
    { n: "cell-1/counts", u: "count", v: 2 ** 32 },
    "counts requires at most 32 bits, got 4294967296",
  ],
  ["batch 0", { n: "batch", u: "count", v: 0 }, "batch requires a whole number from 1, got 0"],
  [
    "half a batch",
    { n: "batch", u: "count", v: 1.5 },
    "batch requires a whole number from 1, got 1.5",
  ],
  ["a batch alone", { n: "batch", u: "count", v: 1 }, "batch requires spool beside it, got none"],
  ["a spool alone", { n: "spool", vs: "a" }, "spool requires batch beside it, got none"],
  [
    "a spool with a space",
    { n: "spool", vs: "a b" },
    'spool requires vs with 1 to 64 letters, digits or . _ -, got "a b"',
  ],
])("%s is refused alone, with what was expected and what came", (_what, record, reason) => {
  const good = { n: "cell-2/mass", u: "kg", v: 1 };
  const { masses, refusals } = pack(record, good);
  expect(refusals.map((refusal) => refusal.reason)).toEqual([reason]);
  expect(masses).toMatchObject([{ cell: "cell-2", massG: 1000 }]);
});

test("one hour ahead and the year 2000 are taken to the second", () => {
  const { masses } = pack({ ...mass, t: 3600 }, { ...mass, t: 946_684_800 });
  expect(masses.map(({ atMs }) => atMs)).toEqual([nowMs + 3_600_000, Date.UTC(2000, 0, 1)]);
});

test("records of another board are refused, also one whose name begins alike", () => {
  for (const bn of ["dale/", "hill-2/", "hill", ""]) {
    const text = JSON.stringify([{ bn, ...mass }]);
    const parsed = parsePack(text, context);
    expect(parsed.ok && parsed.value.masses).toEqual([]);
    expect(parsed.ok && parsed.value.refusals[0]?.reason).toContain("name requires hill/ in front");
  }
});

test("more skipped than there were numbers before is refused, the batch stays", () => {
  const numbering = [
    { n: "batch", u: "count", v: 3 },
    { n: "spool", vs: "a" },
  ];
  const skipping = (v: number) => pack(...numbering, { n: "skipped", u: "count", v });
  expect(skipping(2)).toMatchObject({ batch: 3, skipped: 2, refusals: [] });
  expect(skipping(3)).toMatchObject({ batch: 3, skipped: 0 });
  expect(skipping(3).refusals).toHaveLength(1);
});

test("a number of skipped ones that no outbox ever reaches settles nothing", () => {
  const huge = Number.MAX_SAFE_INTEGER;
  const numbering = [
    { n: "batch", u: "count", v: huge },
    { n: "spool", vs: "a" },
    { n: "skipped", u: "count", v: huge - 1 },
  ];
  expect(pack(...numbering)).toMatchObject({ batch: huge, skipped: 0 });
  expect(pack(...numbering).refusals[0]?.reason).toContain("skipped requires less than");
  expect(salvageNumbering(numbering)).toEqual({ spool: "a", batch: huge, skipped: 0 });
});

test.each([
  ["", "JSON"],
  ["NaN", "JSON"],
  ['[{"n":"cell-1/mass","u":"kg","v":NaN}]', "JSON"],
  ['{"n":"a"}', "an object"],
])("%s is refused as a whole", (text, word) => {
  const parsed = parsePack(text, context);
  expect(parsed.ok).toBe(false);
  expect(!parsed.ok && parsed.problem).toContain(word);
});

test("an infinite number refuses its record alone", () => {
  const text =
    '[{"bn":"hill/"},{"n":"cell-1/mass","u":"kg","v":1e999},{"n":"cell-2/mass","u":"kg","v":1}]';
  const parsed = parsePack(text, context);
  expect(parsed.ok && parsed.value.masses).toMatchObject([{ cell: "cell-2" }]);
});

test("the numbering of a refused pack is salvaged only when it is whole", () => {
  const numbering = [
    { n: "dale/batch", v: 3 },
    { n: "dale/spool", vs: "a" },
  ];
  expect(salvageNumbering(numbering)).toEqual({ spool: "a", batch: 3, skipped: 0 });
  expect(salvageNumbering(numbering.slice(1))).toBeUndefined();
  expect(salvageNumbering([{ n: "batch", v: -1 }, numbering[1]])).toBeUndefined();
  expect(salvageNumbering([null, 3, "batch"])).toBeUndefined();
  expect(salvageNumbering({ batch: 3 })).toBeUndefined();
});

test("whatever JSON comes, it is read or refused, never thrown at", () => {
  const label = fc.constantFrom(
    "bn",
    "bt",
    "bu",
    "bv",
    "bver",
    "n",
    "u",
    "v",
    "vs",
    "vb",
    "vd",
    "t",
  );
  const name = fc.constantFrom(
    "hill/",
    "cell-1/mass",
    "batch",
    "spool",
    "probe/air",
    "kg",
    "count",
  );
  const value = fc.oneof(fc.jsonValue(), name, fc.double(), fc.integer());
  const record = fc.oneof(fc.dictionary(label, value), fc.jsonValue());
  fc.assert(
    fc.property(fc.oneof(fc.array(record), fc.jsonValue()), (raw) => {
      const parsed = parsePack(JSON.stringify(raw), context);
      if (!parsed.ok) return parsed.problem.length > 0;
      return parsed.value.masses.every(({ massG }) => Math.abs(massG) <= 1_000_000);
    }),
    { numRuns: 2000 },
  );
});

test("whatever text comes, it is read or refused, never thrown at", () => {
  fc.assert(fc.property(fc.string(), (text) => typeof parsePack(text, context).ok === "boolean"));
});

test("good records among broken ones are all kept", () => {
  const broken = fc.constantFrom({ v: 1 }, { n: "x", v: "1" }, { n: "cell-1/mass", u: "lb", v: 1 });
  fc.assert(
    fc.property(fc.array(broken, { maxLength: 20 }), fc.integer({ min: 0, max: 20 }), (bad, at) => {
      const records: object[] = [...bad];
      records.splice(at, 0, mass);
      return pack(...records).masses.length === 1;
    }),
  );
});
