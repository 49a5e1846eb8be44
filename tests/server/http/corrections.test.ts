// Corrections and orders over HTTP: what is refused, and what reaches the watch and the board.
import { afterEach, beforeEach, expect, it } from "vitest";
import { type HttpRig, openHttpRig } from "../../helpers/http-rig.ts";
import { startMs } from "../../helpers/store-rig.ts";

let http: HttpRig;
beforeEach(async () => {
  http = await openHttpRig();
});
afterEach(() => http.close());

const wish = {
  cell: "hill/cell-1",
  fromMs: startMs - 60_000,
  untilMs: startMs,
  zeroCounts: 1000,
  countsPerG: 100,
};

function weigh(counts: number | null, atMs = startMs - 30_000): void {
  const { boards, readings } = http.rig;
  boards.heard("hill", atMs);
  const cellKey = boards.cellKey({ board: "hill", name: "cell-1", atMs });
  readings.insertReading({ cellKey, atMs, massG: 7_000, spreadG: null, counts });
}

it("makes a correction, lists it, exports what it makes of weights, and undoes it", async () => {
  weigh(751_000);
  const made = await http.post("/corrections", wish);
  expect(made).toMatchObject({ status: 201, body: { ...wish, id: 1, madeMs: startMs } });
  expect(http.calls).toContainEqual(["cellCorrected", expect.objectContaining({ id: 1 })]);
  expect((await http.get("/corrections")).body).toEqual([made.body]);
  const csv = async () => (await http.send("GET", "/api/v1/export/readings.csv")).text();
  expect(await csv()).toContain(",hill,cell-1,7.5000,,751000");
  expect((await http.del("/corrections/1")).status).toBe(204);
  expect(await csv()).toContain(",hill,cell-1,7.0000,,751000");
  expect((await http.get("/corrections")).body).toEqual([]);
  expect((await http.del("/corrections/1")).status).toBe(404);
});

it.each([
  ["a cell never heard", { cell: "hill/cell-9" }, 404],
  ["an end before its beginning", { untilMs: wish.fromMs }, 422],
  ["a time to come", { untilMs: startMs + 1 }, 409],
  ["no gain at all", { countsPerG: 0 }, 422],
  ["a gain no cell has", { countsPerG: 1e6 }, 422],
  ["a zero beyond 24 bits", { zeroCounts: 1e7 }, 422],
  ["a span without readings", { untilMs: wish.fromMs + 1 }, 409],
  ["weights that can't be", { countsPerG: 1, zeroCounts: -8_000_000 }, 409],
])("refuses %s, and changes nothing", async (_what, over, status) => {
  weigh(751_000);
  for (const path of ["/corrections", "/corrections/preview"]) {
    const answer = await http.post(path, { ...wish, ...over });
    expect([path, answer.status]).toEqual([path, status]);
  }
  expect((await http.get("/corrections")).body).toEqual([]);
});

it("refuses a span whose readings came without counts", async () => {
  weigh(null);
  const answer = await http.post("/corrections", wish);
  expect(answer.status).toBe(409);
  expect(answer.body.detail).toContain("got 1 readings and none with");
});

it("passes an order on to a board that was heard, and gives back its answer", async () => {
  weigh(751_000);
  const answer = await http.post("/boards/hill/orders", { order: "zero", cell: "cell-1" });
  expect(answer).toMatchObject({ status: 200, body: { done: true, answered: true } });
  expect(http.calls).toContainEqual(["order", "hill", { order: "zero", cell: "cell-1" }]);
});

it.each([
  { board: "dell", body: { order: "identify" }, status: 404 },
  { board: "hill", body: { order: "zero" }, status: 422 },
  { board: "hill", body: { order: "dance" }, status: 422 },
  { board: "hill", body: { order: "zero", cell: "hill/cell-1" }, status: 422 },
])("refuses an order that can't be: %j", async ({ board, body, status }) => {
  weigh(751_000);
  expect((await http.post(`/boards/${board}/orders`, body)).status).toBe(status);
  expect(http.calls.filter(([what]) => what === "order")).toEqual([]);
});
