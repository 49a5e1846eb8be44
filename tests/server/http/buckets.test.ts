// Changes of buckets over HTTP that reach into the past or from one bucket to another.
import { afterEach, beforeEach, expect, test } from "vitest";
import { type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { startMs } from "../../helpers/store-rig.ts";

const pail = { label: "Gate", cell: "hill/cell-1", capacityL: 15, emptyKg: 0.9 };
const hourMs = 3_600_000;
let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
});
afterEach(() => http.close());

test("an empty weight is put right for the past after one more edit", async () => {
  await http.post("/buckets", pail);
  http.rig.clock.advance(hourMs);
  await http.patch("/buckets/gate", { capacityL: 12 });
  http.calls.length = 0;
  const { status, body } = await http.patch("/buckets/gate", {
    emptyKg: 2,
    fromMs: startMs + 60_000,
  });
  expect([status, body]).toMatchObject([200, { emptyKg: 2, capacityL: 12 }]);
  expect(http.calls).toEqual([["recordsChanged", { bucketId: "gate", fromMs: startMs + 60_000 }]]);
});

test("a change from before it hung so is refused with the time it can hold from, by the yard's clock", async () => {
  const { settings } = http.parts;
  settings.setYard({ ...settings.yard(), timeZone: "America/Toronto" });
  await http.post("/buckets", pail);
  http.rig.clock.advance(hourMs);
  for (const change of [{ emptyKg: 2 }, { cell: "hill/cell-2" }]) {
    const { status, body } = await http.patch("/buckets/gate", {
      ...change,
      fromMs: startMs - hourMs,
    });
    expect([status, body.detail]).toEqual([
      409,
      "Gate has hung as it does only since today 11:00: say that time or a later one",
    ]);
  }
});
