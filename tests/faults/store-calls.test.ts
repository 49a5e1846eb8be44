// Every statement of the store fails once in turn: what was refused for it left nothing, and what is sent again is stored once.
import { afterEach, expect, it } from "vitest";
import { contentOf, createFailingSql, type Failing } from "../helpers/failing-calls.ts";
import { type HttpRig, openHttpRig } from "../helpers/http-rig.ts";
import { openRig, type Rig, startMs } from "../helpers/store-rig.ts";

let failing: Failing | undefined;
afterEach(() => {
  failing?.restore();
  failing = undefined;
});

const payload = (batch: number, records: object[]) =>
  JSON.stringify([
    { bn: "hill/", bt: startMs / 1000 - 600 + batch, n: "batch", u: "count", v: batch },
    { n: "spool", vs: "a1" },
    ...records,
  ]);
const whole = [
  { n: "cell-1/mass", u: "kg", v: 7.3 },
  { n: "cell-1/spread", u: "kg", v: 0.004 },
  { n: "cell-2/mass", u: "kg", v: 3.1 },
  { n: "cell-3/fault", vs: "absent" },
  { n: "probe/air", u: "Cel", v: -1.25 },
  { n: "pressure", u: "Pa", v: 98_120 },
  { n: "supply", u: "V", v: 12.4 },
];
const from = (text: string) => ({ board: "hill", payload: text, source: "test" });

/** What a board sends in turn; the fourth closes the gap that the third leaves. */
const sendings: ((rig: Rig) => Promise<unknown>)[] = [
  ({ intake }) => intake.presence(from('{"v":1,"online":true,"program":"p"}')),
  ({ intake }) => intake.accept(from(payload(1, whole))),
  ({ intake }) => intake.accept(from(payload(3, whole))),
  ({ intake }) => intake.accept(from(payload(2, [{ n: "cell-1/mass", u: "lb", v: 1 }, ...whole]))),
  ({ intake }) => intake.accept(from(payload(4, whole).replace("hill/", "dale/"))),
  ({ intake }) => intake.accept(from(payload(5, [{ n: "cell-1/mass", u: "kg" }]))),
];

const look = (rig: Rig) => {
  const content = () => contentOf(rig.sqlite);
  return failing === undefined ? content() : failing.aside(content);
};

async function sendAll(rig: Rig): Promise<void> {
  for (const send of sendings) {
    const before = look(rig);
    const told = rig.kept.length;
    const failure = await send(rig).then(
      () => undefined,
      (error: unknown) => error,
    );
    if (failure === undefined) continue;
    failing?.disarm();
    expect(failure).toMatchObject({ code: "storage-full" });
    expect(look(rig)).toBe(before);
    expect(rig.kept.length).toBe(told);
    await send(rig);
  }
}

it("of what boards send nothing is half stored, told too early, lost or doubled", async () => {
  const usual = openRig();
  await sendAll(usual);
  const expected = contentOf(usual.sqlite);
  expect(usual.spools.through("hill", "a1")).toBe(5);
  for (let number = 1; ; number += 1) {
    const rig = openRig();
    failing = createFailingSql(rig.sqlite);
    failing.arm(number);
    await sendAll(rig);
    const failures = rig.intake.counts().storeFailures;
    failing.restore();
    expect({ number, content: contentOf(rig.sqlite) }).toEqual({ number, content: expected });
    expect(rig.kept.at(-1)?.kept.through).toBe(5);
    if (failures === 0) return expect(number).toBeGreaterThan(60);
  }
}, 120_000);

type Change = [method: string, path: string, body?: object];
const bucket = {
  label: "Gate",
  cell: "hill/cell-1",
  capacityL: 15,
  emptyKg: 1,
  tapIds: ["gate-1"],
};

/** What people do in a season, each in need of the one before. */
const changes: Change[] = [
  ["POST", "/trees", { label: "Gate", girthCm: 150 }],
  ["POST", "/taps", { treeId: "gate", tappedMs: startMs - 9e8 }],
  ["POST", "/buckets", bucket],
  ["PATCH", "/buckets/gate", { capacityL: 16, fromMs: startMs - 1000 }],
  ["POST", "/vessels", { label: "Barrel", capacityL: 100 }],
  ["PATCH", "/vessels/barrel", { label: "Old barrel" }],
  ["POST", "/gatherings", { bucketId: "gate", volumeL: 1 }],
  ["POST", "/boils", {}],
  ["POST", "/boils/1/entries", { kind: "sap", volumeL: 1, vesselId: "barrel" }],
  ["PATCH", "/boils/1", { note: "steady fire" }],
  ["POST", "/batches", { boilIds: [1] }],
  ["POST", "/trees/gate/sugars", { brix: 2.1 }],
  ["DELETE", "/boils/1"],
  ["PATCH", "/yard", { name: "Home" }],
  ["DELETE", "/trees/gate"],
];

async function expectWhole(http: HttpRig, change: Change): Promise<number> {
  const [method, path, body] = change;
  for (let number = 1; ; number += 1) {
    const before = contentOf(http.rig.sqlite);
    failing?.arm(number);
    const sent = body === undefined ? {} : { body };
    const answer = await http.send(method, `/api/v1${path}`, sent);
    const failed = failing?.disarm();
    const after = contentOf(http.rig.sqlite);
    if (failed === undefined) {
      expect([change, answer.status < 500]).toEqual([change, true]);
      return number - 1;
    }
    const got = { number, status: answer.status, isUnchanged: after === before };
    expect([change, got]).toEqual([change, { number, status: 507, isUnchanged: true }]);
  }
}

it("of what people change nothing is half written, and the answer says why", async () => {
  const http = await openHttpRig();
  failing = createFailingSql(http.rig.sqlite);
  let failures = 0;
  for (const change of changes) failures += await expectWhole(http, change);
  expect(failures).toBeGreaterThan(30);
  failing.restore();
  await http.close();
}, 120_000);
