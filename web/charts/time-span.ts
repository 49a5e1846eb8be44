// Moving and zooming a span of time within its limits; pure.

export type TimeSpan = { fromMs: number; toMs: number };
export type SpanLimits = TimeSpan & { shortestMs: number };

/** The span brought within its limits: no shorter than the shortest, no longer than all of it. */
export function keptWithin(span: TimeSpan, limits: SpanLimits): TimeSpan {
  const wholeMs = limits.toMs - limits.fromMs;
  const lengthMs = Math.min(wholeMs, Math.max(limits.shortestMs, span.toMs - span.fromMs));
  const fromMs = Math.min(limits.toMs - lengthMs, Math.max(limits.fromMs, span.fromMs));
  return { fromMs, toMs: fromMs + lengthMs };
}

export function movedSpan(span: TimeSpan, byMs: number, limits: SpanLimits): TimeSpan {
  return keptWithin({ fromMs: span.fromMs + byMs, toMs: span.toMs + byMs }, limits);
}

/** A factor below 1 looks closer; what is at `atMs` stays in its place. */
export function zoomedSpan(
  { fromMs, toMs }: TimeSpan,
  zoom: { factor: number; atMs: number },
  limits: SpanLimits,
): TimeSpan {
  const lengthMs = toMs - fromMs;
  const wholeMs = limits.toMs - limits.fromMs;
  const newMs = Math.min(wholeMs, Math.max(limits.shortestMs, lengthMs * zoom.factor));
  const share = lengthMs === 0 ? 0.5 : (zoom.atMs - fromMs) / lengthMs;
  const newFromMs = zoom.atMs - share * newMs;
  return keptWithin({ fromMs: newFromMs, toMs: newFromMs + newMs }, limits);
}

export function lengthOf({ fromMs, toMs }: TimeSpan): number {
  return toMs - fromMs;
}
