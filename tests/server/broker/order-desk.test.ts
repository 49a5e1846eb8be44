// Orders wait for their board's own answer, and no longer than said.
import { expect, it, vi } from "vitest";
import { createOrderDesk } from "../../../server/broker/order-desk.ts";
import type { Order } from "../../../shared/wire/topics.ts";
import { createTestClock, startMs } from "../../helpers/store-rig.ts";

function openDesk(times: { obeyWithinMs?: number; answerWithinMs?: number } = {}, speed = 1) {
  const published: { board: string; order: Order }[] = [];
  const clock = { ...createTestClock(), speed };
  const desk = createOrderDesk({
    clock,
    publish: (board, order) => published.push({ board, order }),
    ...times,
  });
  const answer = (board: string, id: string, text = "It is done.") =>
    desk.answered(board, JSON.stringify({ v: 1, id, done: true, text }));
  return { desk, published, answer };
}

it("publishes an order with its end, and gives what the board answered", async () => {
  const { desk, published, answer } = openDesk({ obeyWithinMs: 10_000 });
  const given = desk.give("hill", { order: "zero", cell: "cell-1" });
  const [{ board, order }] = published as [(typeof published)[number]];
  expect(board).toBe("hill");
  expect(order).toMatchObject({ v: 1, order: "zero", cell: "cell-1", expiresMs: startMs + 10_000 });
  answer("hill", order.id);
  const calibration = null;
  expect(await given).toEqual({ answered: true, done: true, text: "It is done.", calibration });
});

it("takes neither another board's answer, nor one to nothing, nor nonsense", async () => {
  const { desk, published, answer } = openDesk({ answerWithinMs: 40 });
  const given = desk.give("hill", { order: "identify" });
  answer("dell", published[0]!.order.id);
  answer("hill", "another");
  desk.answered("hill", "{");
  desk.answered("hill", '{"v":1}');
  expect(await given).toMatchObject({ answered: false, done: false });
});

it("says that no answer came, in words, and takes a late one for nothing", async () => {
  vi.useFakeTimers();
  try {
    const { desk, published, answer } = openDesk();
    const given = desk.give("hill", { order: "identify" });
    vi.advanceTimersByTime(25_000);
    expect((await given).text).toMatch(/^No answer from board hill within 25 seconds\./);
    answer("hill", published[0]!.order.id);
  } finally {
    vi.useRealTimers();
  }
});

it("counts the order's end in the yard's time, which the demo runs faster", () => {
  const { desk, published } = openDesk({ obeyWithinMs: 10_000 }, 600);
  void desk.give("hill", { order: "identify" });
  expect(published[0]!.order.expiresMs).toBe(startMs + 6_000_000);
  desk.stop();
});

it("asks no more of a board than it can answer, and ends all waiting when stopped", async () => {
  const { desk, published } = openDesk();
  const given = Array.from({ length: 8 }, () => desk.give("hill", { order: "identify" }));
  expect(() => desk.give("hill", { order: "identify" })).toThrow(/requires time to answer 8/);
  const other = desk.give("dell", { order: "identify" });
  desk.stop();
  desk.stop();
  for (const answer of await Promise.all([...given, other])) expect(answer.answered).toBe(false);
  expect(new Set(published.map(({ order }) => order.id)).size).toBe(9);
});
