// Spans of time as queries name them, and ids that are numbers.
import { AppError } from "../../shared/errors.ts";
import { fieldProblem } from "./problem.ts";

type Span = { fromMs: number; toMs: number };

/** The span asked for, its open ends taken from the other. Throws HttpProblem 422 when it ends before it begins. */
export function spanFrom(
  query: { fromMs?: number | undefined; toMs?: number | undefined },
  otherwise: Span,
): Span {
  const fromMs = query.fromMs ?? otherwise.fromMs;
  const toMs = query.toMs ?? Math.max(otherwise.toMs, fromMs);
  if (fromMs <= toMs) return { fromMs, toMs };
  const expected = `a time from fromMs ${fromMs} on`;
  throw fieldProblem("toMs", expected, toMs);
}

/** The number in a path. Throws AppError "not-found" for anything else: there is no such thing. */
export function numberFrom(id: string, subject: string): number {
  if (/^\d{1,15}$/.test(id)) return Number(id);
  throw new AppError("not-found", `${subject} requires one that exists, got ${id.slice(0, 40)}`);
}
