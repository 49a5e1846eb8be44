// Obeys what a person asks of a board from the page: zero a cell, show which board it is, its lamp.
import { type Answer, type Order, orderSchema } from "../shared/wire/topics.ts";
import type { AlarmLamp } from "./lamp.ts";
import type { CalibrationStore } from "./scale/calibration-file.ts";
import { shiftText, zeroFrom } from "./scale/zero.ts";
import type { WiredBoard } from "./wired-board.ts";

export type OrderSettings = {
  nowMs: () => number;
  board: Pick<WiredBoard, "name" | "source" | "next">;
  calibrations: CalibrationStore;
  lamp: AlarmLamp | undefined;
};

const identifyMs = 20_000;
const mostRemembered = 50;

/** Each order once, however often it comes; undefined for what can't be answered. */
export function createOrders(
  settings: OrderSettings,
): (text: string) => Promise<Answer | undefined> {
  const answered = new Map<string, Promise<Answer>>();
  return (text) => {
    const order = orderFrom(text);
    if (order === undefined) return Promise.resolve(undefined);
    const known = answered.get(order.id);
    if (known !== undefined) return known;
    const answer = Promise.resolve(obey(settings, order)).then(([done, words]) => ({
      v: 1 as const,
      id: order.id,
      done,
      text: words,
    }));
    answered.set(order.id, answer);
    const [oldest] = answered.keys();
    if (answered.size > mostRemembered && oldest !== undefined) answered.delete(oldest);
    return answer;
  };
}

function orderFrom(text: string): Order | undefined {
  try {
    const order = orderSchema.safeParse(JSON.parse(text));
    return order.success ? order.data : undefined;
  } catch {
    return undefined;
  }
}

type Outcome = [done: boolean, text: string];

function obey(settings: OrderSettings, order: Order): Outcome | Promise<Outcome> {
  if (order.expiresMs < settings.nowMs()) return [false, "This came too late and was not done."];
  const { lamp, board } = settings;
  if (order.order === "zero") return zero(settings, order.cell);
  if (lamp === undefined) return [false, `Board ${board.name} has no lamp.`];
  if (order.order === "lamp") {
    lamp.show(order.lamp ?? "on");
    return [true, `The lamp of board ${board.name} is ${order.lamp ?? "on"}.`];
  }
  lamp.identify(identifyMs);
  return [true, `The lamp of board ${board.name} blinks for ${identifyMs / 1000} seconds.`];
}

async function zero(settings: OrderSettings, cell: string | undefined): Promise<Outcome> {
  const { board, calibrations } = settings;
  if (!board.source.cells.some((own) => own.cell === cell) || cell === undefined) {
    return [false, `Board ${board.name} has no cell ${cell ?? "without a name"}.`];
  }
  const known = calibrations.of(cell);
  if (known === undefined)
    return [false, `${cell} was never calibrated: a zero alone says nothing.`];
  const found = await board.next(cell);
  if ("fault" in found) return [false, `${cell} gives no weight: ${found.fault}.`];
  const zeroed = zeroFrom(known, found.counts, settings.nowMs());
  if (!zeroed.ok) return [false, `${cell} ${zeroed.problem}.`];
  calibrations.put(cell, zeroed.value);
  return [true, `${cell} is zeroed ${shiftText(known, zeroed.value)}.`];
}
