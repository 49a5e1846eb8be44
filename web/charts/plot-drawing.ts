// What is drawn on a chart beside its lines: frost and thaw behind, events in front.
import type uPlot from "uplot";
import type { Mark } from "./curve-data.ts";
import type { Inks } from "./inks.ts";
import type { TimeSpan } from "./time-span.ts";

/** A line across at a height, with its word. */
export type Level = { at: number; words: string };

const fontOf = (u: uPlot, sizePx: number) =>
  `${sizePx * devicePixelsOf(u)}px system-ui, "Segoe UI", Roboto, sans-serif`;

function devicePixelsOf(u: uPlot): number {
  return u.ctx.canvas.width / u.width;
}

/** Frost as a cool wash with a word where there is room. */
export function drawFrost(u: uPlot, frost: TimeSpan[], inks: Inks): void {
  const { ctx, bbox } = u;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  for (const { fromMs, toMs } of frost) {
    const left = u.valToPos(fromMs, "x", true);
    const width = u.valToPos(toMs, "x", true) - left;
    ctx.fillStyle = inks.iceWash;
    ctx.fillRect(left, bbox.top, width, bbox.height);
  }
  ctx.restore();
}

/** The words "freeze" and "thaw" along the top edge, where a span is wide enough for them. */
export function drawSpanWords(u: uPlot, spans: { words: string; spans: TimeSpan[] }[], inks: Inks) {
  const { ctx, bbox } = u;
  const ratio = devicePixelsOf(u);
  ctx.save();
  ctx.font = `italic ${fontOf(u, 11)}`;
  ctx.textBaseline = "bottom";
  ctx.textAlign = "center";
  for (const { words, spans: places } of spans) {
    ctx.fillStyle = words === "freeze" ? inks.ice : inks.soft;
    for (const { fromMs, toMs } of places) {
      const left = Math.max(bbox.left, u.valToPos(fromMs, "x", true));
      const right = Math.min(bbox.left + bbox.width, u.valToPos(toMs, "x", true));
      if (right - left < ctx.measureText(words).width + 8 * ratio) continue;
      ctx.fillText(words, (left + right) / 2, bbox.top - 2 * ratio);
    }
  }
  ctx.restore();
}

/** Lines across at their heights with their words, and one upright. */
export function drawLines(
  u: uPlot,
  lines: { levels: readonly Level[]; atMs: number | undefined },
  inks: Inks,
): void {
  const { ctx, bbox } = u;
  const ratio = devicePixelsOf(u);
  ctx.save();
  ctx.font = fontOf(u, 11);
  ctx.textAlign = "right";
  ctx.textBaseline = "bottom";
  ctx.lineWidth = ratio;
  ctx.strokeStyle = inks.warm;
  ctx.fillStyle = inks.warm;
  ctx.setLineDash([6 * ratio, 3 * ratio]);
  for (const { at, words } of lines.levels) {
    const y = u.valToPos(at, "y", true);
    stroke(ctx, [bbox.left, y, bbox.left + bbox.width, y]);
    ctx.fillText(words, bbox.left + bbox.width - 4 * ratio, y - ratio);
  }
  ctx.setLineDash([]);
  ctx.strokeStyle = inks.soft;
  const x = lines.atMs === undefined ? -1 : u.valToPos(lines.atMs, "x", true);
  if (isWithin(bbox, x)) stroke(ctx, [x, bbox.top, x, bbox.top + bbox.height]);
  ctx.restore();
}

type Line = [fromX: number, fromY: number, toX: number, toY: number];

function stroke(ctx: CanvasRenderingContext2D, [fromX, fromY, toX, toY]: Line): void {
  ctx.beginPath();
  ctx.moveTo(fromX, fromY);
  ctx.lineTo(toX, toY);
  ctx.stroke();
}

function isWithin(bbox: uPlot["bbox"], x: number): boolean {
  return x >= bbox.left && x <= bbox.left + bbox.width;
}

/** More than so many and the lines would be a fence: short strokes at the top instead. */
const mostWholeLines = 12;

/** A thin line for each event; its word where it doesn't run into the one before. */
export function drawMarks(u: uPlot, marks: readonly Mark[], inks: Inks): void {
  const { ctx, bbox } = u;
  const ratio = devicePixelsOf(u);
  const placed = marks
    .map(({ atMs, words }) => ({ words, x: u.valToPos(atMs, "x", true) }))
    .filter(({ x }) => isWithin(bbox, x));
  const isMany = placed.length > mostWholeLines;
  const lengthPx = isMany ? 6 * ratio : bbox.height;
  ctx.save();
  ctx.font = fontOf(u, 11);
  ctx.textBaseline = "top";
  ctx.textAlign = "left";
  ctx.strokeStyle = inks.soft;
  ctx.fillStyle = inks.soft;
  ctx.lineWidth = ratio;
  ctx.setLineDash(isMany ? [] : [2 * ratio, 3 * ratio]);
  let freeFrom = Number.NEGATIVE_INFINITY;
  for (const { x, words } of placed) {
    stroke(ctx, [x, bbox.top, x, bbox.top + lengthPx]);
    if (isMany) continue;
    const width = ctx.measureText(words).width;
    const fitsRight = x + width + 4 * ratio < bbox.left + bbox.width;
    const left = fitsRight ? x + 3 * ratio : x - width - 3 * ratio;
    if (left < freeFrom) continue;
    ctx.fillText(words, left, bbox.top + 2 * ratio);
    freeFrom = left + width + 8 * ratio;
  }
  ctx.restore();
}
