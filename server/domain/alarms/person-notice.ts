// Whether a person is told of an open episode now, by what that person wishes to hear.
import type { AlarmKind, Severity } from "../../../shared/wire/api.ts";
import { type NoticeQuestion, noticeDue, severityRank } from "./notices.ts";

export type NoticeWishes = {
  /** Null is every kind. */
  kinds: readonly AlarmKind[] | null;
  fromSeverity: Severity;
  /** Local times, "HH:MM"; null is none. */
  quiet: { from: string; until: string } | null;
  /** What must be done now breaks through the quiet hours. */
  wake: boolean;
};

const never = "00:00";

/** As noticeDue, with the person's own quiet hours; "none" for what that person doesn't want. */
export function personNoticeDue(
  wishes: NoticeWishes,
  question: Omit<NoticeQuestion, "settings">,
): "send" | "hold" | "none" {
  const { kind, severity } = question.episode;
  const { kinds, fromSeverity, quiet, wake } = wishes;
  const isWanted = kinds === null || kinds.includes(kind);
  if (!isWanted || severityRank[severity] < severityRank[fromSeverity]) return "none";
  const { from, until } = quiet ?? { from: never, until: never };
  const settings = { quietFrom: from, quietUntil: until, wakeMe: wake };
  return noticeDue({ ...question, settings });
}
