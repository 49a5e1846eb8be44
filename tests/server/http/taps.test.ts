// A hole is on its trunk: no further around it than its girth.
import { afterEach, beforeEach, expect, test } from "vitest";
import { type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";

let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
  await http.post("/trees", { label: "Gate", girthCm: 140 });
});
afterEach(() => http.close());

test("a hole further around than the girth is refused in a plain sentence, new or changed", async () => {
  const refused = await http.post("/taps", { treeId: "gate", aroundCm: 150 });
  expect(refused.status).toBe(422);
  expect(refused.body).toMatchObject({
    detail: "The trunk is only 140 cm around: a hole can’t be 150 cm around it.",
    errors: [{ field: "aroundCm", expected: "at most the girth, 140", got: "150" }],
  });
  expect((await http.post("/taps", { treeId: "gate", aroundCm: 140 })).status).toBe(201);
  expect((await http.patch("/taps/gate-1", { aroundCm: 141 })).status).toBe(422);
  expect((await http.get("/taps")).body).toMatchObject([{ aroundCm: 140 }]);
});

test("a hole of a tree that was measured smaller since can still be changed otherwise", async () => {
  await http.post("/taps", { treeId: "gate", aroundCm: 139 });
  await http.patch("/trees/gate", { girthCm: 130 });
  expect((await http.patch("/taps/gate-1", { aroundCm: 139, label: "Low" })).status).toBe(200);
});

test("nobody can tell for a tree that isn't measured", async () => {
  await http.post("/trees", { label: "Lane" });
  expect((await http.post("/taps", { treeId: "lane", aroundCm: 700 })).status).toBe(201);
});
