// Boards over HTTP: one that is out of use is put away until it speaks again.
import { afterEach, beforeEach, expect, it } from "vitest";
import { type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { startMs } from "../../helpers/store-rig.ts";

let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
  http.rig.boards.setPresence("shed", { v: 1, online: false }, startMs - 1000);
});
afterEach(() => http.close());

const shown = () => http.rig.boards.listBoards().map(({ name }) => name);

it("puts away a board that is off, until it sends again", async () => {
  expect((await http.del("/boards/shed")).status).toBe(204);
  expect(shown()).toEqual([]);
  expect(http.calls).toContainEqual(["boardChanged", "shed"]);
  http.rig.boards.setPresence("shed", { v: 1, online: false }, startMs);
  expect(shown()).toEqual([]);
  http.rig.boards.heard("shed", startMs);
  expect(shown()).toEqual(["shed"]);
});

it("shows it again once it says that it is there", async () => {
  await http.del("/boards/shed");
  http.rig.boards.setPresence("shed", { v: 1, online: true }, startMs);
  expect(shown()).toEqual(["shed"]);
});

it("keeps a board that is on, one that carries a bucket, and knows no other", async () => {
  http.rig.boards.setPresence("hill", { v: 1, online: true }, startMs);
  expect((await http.del("/boards/hill")).body.detail).toContain("requires a board that is off");
  await http.post("/buckets", { label: "Gate", cell: "shed/cell-1", capacityL: 11, emptyKg: 0.8 });
  const refused = await http.del("/boards/shed");
  expect(refused.status).toBe(409);
  expect(refused.body.detail).toContain("no bucket on it, got Gate on shed/cell-1");
  expect((await http.del("/boards/dell")).status).toBe(404);
  expect(shown()).toEqual(["hill", "shed"]);
});
