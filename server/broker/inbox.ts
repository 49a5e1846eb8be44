// Sends each message of a broker to the part that stores it; settled means it may be acknowledged.
import type { Clock } from "../../shared/clock.ts";
import { type ForecastHour, parseForecast } from "../../shared/wire/forecast.ts";
import { mostPackBytes } from "../../shared/wire/pack.ts";
import { boardTopicParts, forecastTopic } from "../../shared/wire/topics.ts";
import type { Intake } from "../ingest/intake.ts";

export type Message = { topic: string; payload: Uint8Array; source: string };

export type InboxParts = {
  intake: Intake;
  clock: Clock;
  /** Stores an outlook; runs inside a transaction. */
  keepForecast(hours: ForecastHour[]): void;
  /** A board's answer to an order. */
  onAnswer(board: string, payload: string): void;
};

/** Resolves when the message is stored, refused or of no concern; rejects when the store failed. */
export type Inbox = (message: Message) => Promise<void>;

export function createInbox(parts: InboxParts): Inbox {
  return async ({ topic, payload, source }) => {
    if (topic === forecastTopic) return takeForecast(parts, { topic, payload, source });
    const to = boardTopicParts(topic);
    switch (to?.kind) {
      case "readings":
        await parts.intake.accept({ board: to.board, payload, source });
        return;
      case "presence":
        await parts.intake.presence({ board: to.board, payload, source });
        return;
      case "answers":
        if (payload.length <= mostPackBytes) parts.onAnswer(to.board, textOf(payload));
        return;
      default:
    }
  };
}

async function takeForecast(parts: InboxParts, { payload, source }: Message): Promise<void> {
  const isTooLong = payload.length > mostPackBytes;
  const text = isTooLong ? "" : textOf(payload);
  const forecast = parseForecast(text, { nowMs: parts.clock.nowMs() });
  if (!forecast.ok) {
    const problem = isTooLong
      ? `payload requires at most ${mostPackBytes} bytes, got ${payload.length}`
      : forecast.problem;
    return parts.intake.refuse({ source, problem, sample: text });
  }
  const { hours, refusals } = forecast.value;
  if (hours.length > 0) await parts.intake.keep(() => parts.keepForecast(hours));
  const first = refusals[0];
  if (first === undefined) return;
  const more = refusals.length === 1 ? "" : `; and ${refusals.length - 1} more`;
  const problem = `${first.record}: ${first.reason}${more}`;
  await parts.intake.refuse({ source, problem, sample: text });
}

function textOf(payload: Uint8Array): string {
  return Buffer.from(payload.buffer, payload.byteOffset, payload.byteLength).toString("utf8");
}
