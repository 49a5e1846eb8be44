// Hands a person's orders to boards, and waits a while for each board's answer.
import { randomUUID } from "node:crypto";
import type { Clock } from "../../shared/clock.ts";
import { AppError } from "../../shared/errors.ts";
import type { OrderAnswer, OrderPost } from "../../shared/wire/orders.ts";
import { parseJson } from "../../shared/wire/record-checks.ts";
import { type Answer, answerSchema, type Order } from "../../shared/wire/topics.ts";

export type OrderDesk = {
  /**
   * Resolves with the board's answer, or without one once the time is up.
   * Throws AppError "conflict" when the board has too many unanswered ones.
   */
  give(board: string, post: OrderPost): Promise<OrderAnswer>;
  /** What a board published on its answers, as it came. */
  answered(board: string, payload: string): void;
  /** Ends all waiting; safe twice. */
  stop(): void;
};

export type OrderDeskParts = {
  clock: Clock;
  publish(board: string, order: Order): void;
  /** Real time within which the board has to begin, and then has to have answered. */
  obeyWithinMs?: number;
  answerWithinMs?: number;
};

type Waiting = { board: string; settle(answer: OrderAnswer): void };

const mostWaiting = 8;

export function createOrderDesk(parts: OrderDeskParts): OrderDesk {
  // A sweep of eight cells takes five seconds, and one may just have begun.
  const { clock, publish, obeyWithinMs = 10_000, answerWithinMs = 25_000 } = parts;
  const waiting = new Map<string, Waiting>();

  function end(id: string, answer: OrderAnswer): void {
    waiting.get(id)?.settle(answer);
    waiting.delete(id);
  }
  return {
    give(board, post) {
      const open = [...waiting.values()].filter((one) => one.board === board).length;
      if (open >= mostWaiting) {
        const text = `board ${board} requires time to answer ${open} orders first, got another`;
        throw new AppError("conflict", text);
      }
      const id = randomUUID();
      // In the yard's time, which the demo runs faster.
      const expiresMs = Math.round(clock.nowMs() + obeyWithinMs * clock.speed);
      return new Promise((resolve) => {
        const giveUp = () => end(id, noAnswer(board, answerWithinMs));
        const timer = setTimeout(giveUp, answerWithinMs);
        const settle = (answer: OrderAnswer) => {
          clearTimeout(timer);
          resolve(answer);
        };
        waiting.set(id, { board, settle });
        publish(board, orderFrom(post, { id, expiresMs }));
      });
    },
    answered(board, payload) {
      const answer = answerFrom(payload);
      // Another board's word, or one that comes too late, answers nothing.
      if (answer === undefined || waiting.get(answer.id)?.board !== board) return;
      const { id, done, text, calibration = null } = answer;
      end(id, { answered: true, done, text, calibration });
    },
    stop() {
      for (const [id, { board }] of waiting) end(id, noAnswer(board, answerWithinMs));
    },
  };
}

function orderFrom({ order, cell, lamp }: OrderPost, ends: Pick<Order, "id" | "expiresMs">): Order {
  return {
    v: 1,
    ...ends,
    order,
    ...(cell === undefined ? {} : { cell }),
    ...(lamp === undefined ? {} : { lamp }),
  };
}

function answerFrom(payload: string): Answer | undefined {
  const json = parseJson(payload);
  const answer = answerSchema.safeParse(json.ok ? json.value : undefined);
  return answer.success ? answer.data : undefined;
}

function noAnswer(board: string, withinMs: number): OrderAnswer {
  const text = `No answer from board ${board} within ${Math.round(withinMs / 1000)} seconds. Is its program running? It will not begin with this any more.`;
  return { answered: false, done: false, text, calibration: null };
}
