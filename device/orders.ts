// Obeys what a person asks of a board from the page: zero a cell, tell its calibration, show the lamp.
import { type Answer, type Order, orderSchema } from "../shared/wire/topics.ts";
import type { AlarmLamp } from "./lamp.ts";
import type { CalibrationRecord, CalibrationStore } from "./scale/calibration-file.ts";
import { shiftText, zeroFrom } from "./scale/zero.ts";
import type { WindowSource } from "./source.ts";
import type { WiredBoard } from "./wired-board.ts";

export type OrderSettings = {
  nowMs: () => number;
  /** Without `next`, a simulated one. */
  board: Pick<WiredBoard, "name" | "source"> & Partial<Pick<WiredBoard, "next">>;
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
    const answer = outcomeOf(settings, order).then((outcome) => ({
      v: 1 as const,
      id: order.id,
      ...outcome,
    }));
    answered.set(order.id, answer);
    const [oldest] = answered.keys();
    if (answered.size > mostRemembered && oldest !== undefined) answered.delete(oldest);
    return answer;
  };
}

/** What simulated boards answer: they have neither lamps nor cells that drift off their zero. */
export function createSimulatedOrders(simulated: {
  name: string;
  source: WindowSource;
  nowMs: () => number;
  calibratedAtMs: number;
}): (text: string) => Promise<Answer | undefined> {
  const { name, source, nowMs, calibratedAtMs } = simulated;
  const cellOf = (cell: string) => source.cells.find((own) => own.cell === cell)?.calibration;
  return createOrders({
    nowMs,
    lamp: undefined,
    board: { name, source },
    calibrations: {
      of(cell) {
        const calibration = cellOf(cell);
        return calibration && { ...calibration, calibratedAtMs, knownG: 10_000 };
      },
      put: () => undefined,
    },
  });
}

function orderFrom(text: string): Order | undefined {
  try {
    const order = orderSchema.safeParse(JSON.parse(text));
    return order.success ? order.data : undefined;
  } catch {
    return undefined;
  }
}

type Outcome = Pick<Answer, "done" | "text" | "calibration">;

async function outcomeOf(settings: OrderSettings, order: Order): Promise<Outcome> {
  try {
    return await obey(settings, order);
  } catch (error) {
    // The disk may be full: whoever asked is to know that nothing came of it.
    return not(`This failed: ${error instanceof Error ? error.message : String(error)}.`);
  }
}

function obey(settings: OrderSettings, order: Order): Outcome | Promise<Outcome> {
  const nowMs = settings.nowMs();
  if (order.expiresMs < nowMs) {
    return not(`This came too late and was not done: here it is ${clockText(nowMs)}.`);
  }
  if (order.order === "zero") return zero(settings, order.cell);
  if (order.order === "calibration") return tellCalibration(settings, order.cell);
  return light(settings, order);
}

function not(text: string): Outcome {
  return { done: false, text };
}

function light({ lamp, board }: OrderSettings, order: Order): Outcome {
  if (lamp === undefined) return not(`Board ${board.name} has no lamp.`);
  if (order.order === "lamp") {
    const state = order.lamp ?? "on";
    lamp.show(state);
    const words = state === "blinking" ? "blinks" : `is ${state}`;
    return { done: true, text: `The lamp of board ${board.name} ${words}.` };
  }
  lamp.identify(identifyMs);
  const text = `The lamp of board ${board.name} blinks for ${identifyMs / 1000} seconds.`;
  return { done: true, text };
}

type Known = { cell: string; known: CalibrationRecord };

/** The calibrated cell that is meant, or why there is none. */
function knownCell({ board, calibrations }: OrderSettings, cell = ""): Known | Outcome {
  if (!board.source.cells.some((own) => own.cell === cell)) {
    return not(`Board ${board.name} has no cell ${cell === "" ? "without a name" : cell}.`);
  }
  const known = calibrations.of(cell);
  if (known !== undefined) return { cell, known };
  return not(`${cell} was never calibrated: npm run board -- calibrate does it.`);
}

function tellCalibration(settings: OrderSettings, name: string | undefined): Outcome {
  const found = knownCell(settings, name);
  if (!("known" in found)) return found;
  const { zeroCounts, countsPerG, calibratedAtMs, zeroedAtMs } = found.known;
  const zeroed = zeroedAtMs === undefined ? {} : { zeroedAtMs };
  const figures = `${countsPerG.toFixed(2)} counts a gram, ${Math.round(zeroCounts)} counts when bare`;
  return {
    done: true,
    text: `${found.cell} weighs with ${figures}, calibrated ${clockText(calibratedAtMs)}.`,
    calibration: { zeroCounts, countsPerG, calibratedAtMs, ...zeroed },
  };
}

async function zero(settings: OrderSettings, name: string | undefined): Promise<Outcome> {
  const { board, calibrations } = settings;
  const chosen = knownCell(settings, name);
  if (!("known" in chosen)) return chosen;
  const { cell, known } = chosen;
  if (board.next === undefined) {
    return not(`Board ${board.name} is simulated: its cells need no zero.`);
  }
  const found = await board.next(cell);
  if ("fault" in found) return not(`${cell} gives no weight: ${found.fault}.`);
  const zeroed = zeroFrom(known, found.counts, settings.nowMs());
  if (!zeroed.ok) return not(`${cell} ${zeroed.problem}.`);
  calibrations.put(cell, zeroed.value);
  return { done: true, text: `${cell} is zeroed ${shiftText(known, zeroed.value)}.` };
}

/** "2026-03-25 14:10 UTC": the board knows no zone of its own. */
function clockText(atMs: number): string {
  return `${new Date(atMs).toISOString().slice(0, 16).replace("T", " ")} UTC`;
}
