// Tests the resolution of SenML against the examples printed in RFC 8428 section 5.1 and its clauses.
import { expect, test } from "vitest";
import { resolveSenml } from "../../../shared/wire/senml.ts";

/** Tue Jun 8 18:01:16.001 UTC 2010, the instant of the second example of section 5.1.2. */
const nowMs = 1_276_020_076_001;

function resolved(json: string) {
  const senml = resolveSenml(JSON.parse(json), nowMs);
  if (!senml.ok) throw new Error(senml.problem);
  return senml.value;
}

/** Name, unit, seconds and value, the way the RFC prints resolved records. */
function rows(json: string) {
  const { records, refusals } = resolved(json);
  expect(refusals).toEqual([]);
  return records.map(({ name, unit, atMs, value }) => [name, unit, atMs / 1000, value]);
}

function problemOf(raw: unknown): string {
  const senml = resolveSenml(raw, nowMs);
  return senml.ok ? "" : senml.problem;
}

const device = "urn:dev:ow:10e2073a01080063";

test("RFC 8428 5.1.1, a single data point, is taken about now", () => {
  expect(rows(`[{"n":"${device}","u":"Cel","v":23.1}]`)).toEqual([
    [device, "Cel", nowMs / 1000, 23.1],
  ]);
});

test("RFC 8428 5.1.2, multiple data points, share the base name", () => {
  const pack = `[{"bn":"${device}:","n":"voltage","u":"V","v":120.1},{"n":"current","u":"A","v":1.2}]`;
  expect(rows(pack)).toEqual([
    [`${device}:voltage`, "V", nowMs / 1000, 120.1],
    [`${device}:current`, "A", nowMs / 1000, 1.2],
  ]);
});

test("RFC 8428 5.1.2, second example: base time, base unit, version 5, times before the base", () => {
  const pack = `[
     {"bn":"urn:dev:ow:10e2073a0108006:","bt":1.276020076001e+09,
      "bu":"A","bver":5,
      "n":"voltage","u":"V","v":120.1},
     {"n":"current","t":-5,"v":1.2},
     {"n":"current","t":-4,"v":1.3},
     {"n":"current","t":-3,"v":1.4},
     {"n":"current","t":-2,"v":1.5},
     {"n":"current","t":-1,"v":1.6},
     {"n":"current","v":1.7}
   ]`;
  const name = "urn:dev:ow:10e2073a0108006:current";
  expect(rows(pack)).toEqual([
    ["urn:dev:ow:10e2073a0108006:voltage", "V", 1_276_020_076.001, 120.1],
    [name, "A", 1_276_020_071.001, 1.2],
    [name, "A", 1_276_020_072.001, 1.3],
    [name, "A", 1_276_020_073.001, 1.4],
    [name, "A", 1_276_020_074.001, 1.5],
    [name, "A", 1_276_020_075.001, 1.6],
    [name, "A", 1_276_020_076.001, 1.7],
  ]);
});

test("RFC 8428 5.1.2, third example: a record without a name has the base name", () => {
  const pack = `[{"bn":"${device}","bt":1.320067464e+09,"bu":"%RH","v":21.2},{"t":10,"v":21.3}]`;
  expect(rows(pack)).toEqual([
    [device, "%RH", 1_320_067_464, 21.2],
    [device, "%RH", 1_320_067_474, 21.3],
  ]);
});

test("RFC 8428 5.1.3 resolves to what is printed in 5.1.4", () => {
  const pack = `[
     {"bn":"${device}","bt":1.320067464e+09,"bu":"%RH","v":20},
     {"u":"lon","v":24.30621},
     {"u":"lat","v":60.07965},
     {"t":60,"v":20.3},
     {"u":"lon","t":60,"v":24.30622},
     {"u":"lat","t":60,"v":60.07965},
     {"t":120,"v":20.7},
     {"u":"lon","t":120,"v":24.30623},
     {"u":"lat","t":120,"v":60.07966},
     {"u":"%EL","t":150,"v":98},
     {"t":180,"v":21.2},
     {"u":"lon","t":180,"v":24.30628},
     {"u":"lat","t":180,"v":60.07967}
   ]`;
  const printed = `[
     {"n":"${device}","u":"%RH","t":1.320067464e+09,"v":20},
     {"n":"${device}","u":"lon","t":1.320067464e+09,"v":24.30621},
     {"n":"${device}","u":"lat","t":1.320067464e+09,"v":60.07965},
     {"n":"${device}","u":"%RH","t":1.320067524e+09,"v":20.3},
     {"n":"${device}","u":"lon","t":1.320067524e+09,"v":24.30622},
     {"n":"${device}","u":"lat","t":1.320067524e+09,"v":60.07965},
     {"n":"${device}","u":"%RH","t":1.320067584e+09,"v":20.7},
     {"n":"${device}","u":"lon","t":1.320067584e+09,"v":24.30623},
     {"n":"${device}","u":"lat","t":1.320067584e+09,"v":60.07966},
     {"n":"${device}","u":"%EL","t":1.320067614e+09,"v":98},
     {"n":"${device}","u":"%RH","t":1.320067644e+09,"v":21.2},
     {"n":"${device}","u":"lon","t":1.320067644e+09,"v":24.30628},
     {"n":"${device}","u":"lat","t":1.320067644e+09,"v":60.07967}
   ]`;
  const expected = (JSON.parse(printed) as { n: string; u: string; t: number; v: number }[]).map(
    ({ n, u, t, v }) => [n, u, t, v],
  );
  expect(rows(pack)).toEqual(expected);
  expect(rows(printed)).toEqual(expected);
});

test("RFC 8428 5.1.5, multiple data types, keeps each as what it is", () => {
  const { records } = resolved(`[
    {"bn":"${device}:","n":"temp","u":"Cel","v":23.1},
    {"n":"label","vs":"Machine Room"},
    {"n":"open","vb":false},
    {"n":"nfv-reader","vd":"aGkgCg"}
  ]`);
  expect(records).toMatchObject([
    { value: 23.1 },
    { text: "Machine Room", value: undefined },
    { flag: false },
    { data: "aGkgCg" },
  ]);
});

test("RFC 8428 5.1.6, a collection: the last record has the third's name and the first's time", () => {
  const pack = `[
     {"bn":"2001:db8::2/","bt":1.320078429e+09,"n":"temperature","u":"Cel","v":25.2},
     {"n":"humidity","u":"%RH","v":30},
     {"bn":"2001:db8::1/","n":"temperature","u":"Cel","v":12.3},
     {"n":"humidity","u":"%RH","v":67}
   ]`;
  expect(rows(pack)).toEqual([
    ["2001:db8::2/temperature", "Cel", 1_320_078_429, 25.2],
    ["2001:db8::2/humidity", "%RH", 1_320_078_429, 30],
    ["2001:db8::1/temperature", "Cel", 1_320_078_429, 12.3],
    ["2001:db8::1/humidity", "%RH", 1_320_078_429, 67],
  ]);
});

test("RFC 8428 5.1.7, setting an actuator: a record of base fields alone is no measurement", () => {
  const pack = `[{"bn":"${device}:"},{"n":"temp","u":"Cel","v":23.1},{"n":"heat","u":"/","v":1},{"n":"fan","u":"/","v":0}]`;
  expect(rows(pack).map(([name, , , value]) => [name, value])).toEqual([
    [`${device}:temp`, 23.1],
    [`${device}:heat`, 1],
    [`${device}:fan`, 0],
  ]);
});

test("RFC 8428 5.1.7, third example: a time of 0.1 s after the base", () => {
  const pack = `[
     {"bt":1.320078429e+09,"bu":"/","n":"2001:db8::3","v":0.5},
     {"n":"2001:db8::4","v":0.5},
     {"n":"2001:db8::3","t":0.1,"v":0},
     {"n":"2001:db8::4","t":0.1,"v":0}
   ]`;
  expect(rows(pack).map(([, , atS]) => atS)).toEqual([
    1_320_078_429, 1_320_078_429, 1_320_078_429.1, 1_320_078_429.1,
  ]);
});

test("RFC 8428 4.5.3: below 2^28 s is relative to now, from there on absolute", () => {
  const at = (t: number) => resolved(JSON.stringify([{ n: "a", v: 1, t }])).records[0]?.atMs;
  expect(at(-3600)).toBe(nowMs - 3_600_000);
  expect(at(2 ** 28 - 1)).toBe(nowMs + (2 ** 28 - 1) * 1000);
  // 1978-07-04 21:24:16 UTC, the smallest absolute time, as the RFC says.
  expect(at(2 ** 28)).toBe(Date.UTC(1978, 6, 4, 21, 24, 16));
});

test("RFC 8428 4.5.4: base value and base sum are added; missing ones count as zero", () => {
  const { records } = resolved(
    '[{"bn":"a","bv":20,"bs":5,"v":1},{"n":"b"},{"n":"c","s":2,"vs":"x"}]',
  );
  expect(records.map(({ name, value, sum }) => [name, value, sum])).toEqual([
    ["a", 21, 5],
    ["ab", 20, 5],
    ["ac", undefined, 7],
  ]);
});

test("RFC 8428 4.4: unknown labels are ignored, but an error when they end with _", () => {
  expect(rows('[{"n":"a","v":1,"_x":2,"extra":3}]')).toHaveLength(1);
  expect(problemOf([{ n: "a", v: 1, extra_: 3 }])).toBe(
    'SenML pack requires labels this program understands, got "extra_"',
  );
});

test("RFC 8428 4.4: a later version, or two in a pack, refuse it", () => {
  expect(problemOf([{ bver: 11, n: "a", v: 1 }])).toBe(
    "SenML pack requires version 10 or less, got 11",
  );
  expect(
    problemOf([
      { n: "a", v: 1 },
      { bver: 5, n: "a", v: 1 },
    ]),
  ).toContain("one version");
  expect(
    problemOf([
      { n: "a", v: 1 },
      { bver: 10, n: "a", v: 1 },
    ]),
  ).toBe("");
});

test("RFC 8428 4.5.1: a name outside the character set refuses its record alone", () => {
  for (const n of ["", "-a", "a b", "a\u00e9", "a#"]) {
    const { records, refusals } = resolved(
      JSON.stringify([
        { n, v: 1 },
        { n: "good", v: 2 },
      ]),
    );
    expect(records.map(({ name }) => name)).toEqual(["good"]);
    expect(refusals[0]?.reason).toContain("name requires");
  }
});

test("RFC 8428 4.2: none or two values refuse the record alone", () => {
  const { records, refusals } = resolved('[{"n":"a"},{"n":"b","v":1,"vs":"x"},{"n":"c","v":3}]');
  expect(records.map(({ name }) => name)).toEqual(["c"]);
  expect(refusals).toEqual([
    { record: "a", reason: "value requires one of v vs vb vd, got none" },
    { record: "b", reason: "value requires one of v vs vb vd, got 2 of them" },
  ]);
});

test("a field of a wrong type refuses its record alone, a base field of a wrong type the pack", () => {
  const { records, refusals } = resolved(
    '[{"bn":"a/","n":"b","v":1},{"n":"c","v":"7"},{"n":"d","v":2}]',
  );
  expect(records.map(({ name }) => name)).toEqual(["a/b", "a/d"]);
  expect(refusals).toMatchObject([{ record: "c" }]);
  expect(refusals[0]?.reason).toContain("v requires");
  expect(problemOf([{ bt: "soon", n: "a", v: 1 }])).toContain("SenML record 1: bt requires");
  expect(problemOf([{ n: "a", v: 1 }, 7])).toContain("SenML record 2");
});

test("what is no pack says what it is", () => {
  expect(problemOf({})).toBe("SenML pack requires an array of records, got an object");
  expect(problemOf([])).toBe("SenML pack requires an array of records, got an empty one");
  expect(problemOf(null)).toBe("SenML pack requires an array of records, got null");
  expect(problemOf("x")).toBe("SenML pack requires an array of records, got a string");
});

test("a time that is no date refuses its record alone", () => {
  expect(resolved('[{"n":"a","v":1,"t":1e300}]').refusals[0]?.reason).toContain(
    "time requires a date",
  );
});
