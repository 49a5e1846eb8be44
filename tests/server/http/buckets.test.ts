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

test("two buckets swap their cells from one moment on, and both are gone through again", async () => {
  await http.post("/buckets", pail);
  await http.post("/buckets", { ...pail, label: "Well", cell: "hill/cell-2" });
  http.rig.clock.advance(hourMs);
  http.calls.length = 0;
  const swap = { cell: "hill/cell-2", swapWith: "well" };
  const { status, body } = await http.patch("/buckets/gate", { ...swap, capacityL: 12 });
  expect([status, body]).toMatchObject([200, { cell: "hill/cell-2", capacityL: 12 }]);
  const atMs = startMs + hourMs;
  expect(http.calls).toEqual([
    ["recordsChanged", { bucketId: "well", fromMs: atMs }],
    ["recordsChanged", { bucketId: "gate", fromMs: atMs }],
  ]);
  const hung = (id: string) =>
    http.parts.buckets.hangings
      .listOfBucket(id)
      .map(({ cell, fromMs, untilMs }) => [cell, fromMs, untilMs]);
  expect(hung("gate")).toEqual([
    ["hill/cell-1", startMs, atMs],
    ["hill/cell-2", atMs, null],
  ]);
  expect(hung("well")).toEqual([
    ["hill/cell-2", startMs, atMs],
    ["hill/cell-1", atMs, null],
  ]);
});

test("a swap with a bucket that hangs elsewhere by now, or since before it hung there, changes nothing", async () => {
  await http.post("/buckets", pail);
  await http.post("/buckets", { ...pail, label: "Well", cell: "hill/cell-2" });
  await http.post("/buckets", { ...pail, label: "Porch", cell: null });
  http.rig.clock.advance(hourMs);
  const before = (await http.get("/buckets")).body;
  const swap = (id: string, body: object) => http.patch(`/buckets/${id}`, body);
  const elsewhere = await swap("gate", { cell: "hill/cell-2", swapWith: "porch" });
  expect([elsewhere.status, elsewhere.body.detail]).toEqual([
    409,
    "swapWith requires the bucket on hill/cell-2, got porch, which hangs on no cell",
  ]);
  const early = { cell: "hill/cell-2", swapWith: "well", fromMs: startMs - hourMs };
  expect((await swap("gate", early)).body.detail).toContain("say that time or a later one");
  expect((await swap("gate", { cell: "hill/cell-2", swapWith: "nobody" })).status).toBe(404);
  expect((await http.get("/buckets")).body).toEqual(before);
  // A bucket without a cell takes the place of one that then hangs on none.
  await swap("porch", { cell: "hill/cell-2", swapWith: "well" });
  const cells = (await http.get("/buckets")).body.map((bucket: { cell: string }) => bucket.cell);
  expect(cells).toEqual(["hill/cell-1", "hill/cell-2", null]);
});
