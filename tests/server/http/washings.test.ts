// Washed and shaded buckets over HTTP: what counts from when, and every refusal.
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { bucketSchema } from "../../../shared/wire/records.ts";
import { bucketView, type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { startMs } from "../../helpers/store-rig.ts";

let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
});
afterEach(() => http.close());

const pail = { label: "Gate", cell: "hill/cell-1", capacityL: 15, emptyKg: 0.9 };

describe("washed buckets", () => {
  const gathered = async (volumeL: number) => {
    const { body } = await http.post("/buckets", pail);
    await http.post("/gatherings", { bucketId: body.id, volumeL, atMs: startMs - 3_600_000 });
    return body.id as string;
  };

  test("count for the time they were last emptied, and the past is gone through again", async () => {
    const id = await gathered(6);
    const { status, body } = await http.post(`/buckets/${id}/washed`, {});
    expect(status).toBe(201);
    expect(body).toEqual({ atMs: startMs - 3_600_000 });
    const change = { bucketId: id, fromMs: startMs - 3_600_000 };
    expect(http.calls.at(-1)).toEqual(["recordsChanged", change]);
    expect(http.parts.buckets.washings.listOfBucket(id)).toEqual([startMs - 3_600_000]);
    expect((await http.del(`/buckets/${id}/washed`)).status).toBe(204);
    expect(http.parts.buckets.washings.listOfBucket(id)).toEqual([]);
    expect((await http.del(`/buckets/${id}/washed`)).status).toBe(404);
  });

  test("may be empty already, but not full of sap", async () => {
    const { body } = await http.post("/buckets", pail);
    http.view.buckets.push(bucketView(body.id, { volumeL: 0.1 }));
    expect((await http.post(`/buckets/${body.id}/washed`, {})).body).toEqual({ atMs: startMs });
    http.view.buckets[0] = bucketView(body.id, { volumeL: 6 });
    const refused = await http.post(`/buckets/${body.id}/washed`, {});
    expect(refused.status).toBe(409);
    expect(refused.body.detail).toContain("got one with 6.0 L");
    const ahead = await http.post(`/buckets/${body.id}/washed`, { atMs: startMs + 1 });
    expect(ahead.status).toBe(409);
    expect((await http.post("/buckets/nobody/washed", {})).status).toBe(404);
  });

  test("stand in the sun as far as it is said, from then on", async () => {
    const { body } = await http.post("/buckets", pail);
    expect(body.sunShare).toBe(0.5);
    const changed = await http.patch(`/buckets/${body.id}`, { sunShare: 0.25 });
    expect(bucketSchema.parse(changed.body).sunShare).toBe(0.25);
    expect((await http.patch(`/buckets/${body.id}`, { sunShare: 1.5 })).status).toBe(422);
  });
});
