// What is drawn on a chart beside its lines: frost and thaw behind, events in front.
import type uPlot from "uplot";
import type { Mark, TimeSpan } from "./curve-data.ts";
import type { Inks } from "./inks.ts";

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

/** A thin line for each event; its word where it doesn't run into the one before. */
export function drawMarks(u: uPlot, marks: Mark[], inks: Inks): void {
  const { ctx, bbox } = u;
  const ratio = devicePixelsOf(u);
  let freeFrom = Number.NEGATIVE_INFINITY;
  ctx.save();
  ctx.font = fontOf(u, 11);
  ctx.textBaseline = "top";
  ctx.textAlign = "left";
  ctx.strokeStyle = inks.soft;
  ctx.fillStyle = inks.soft;
  ctx.lineWidth = ratio;
  for (const { atMs, words } of marks) {
    const x = u.valToPos(atMs, "x", true);
    if (x < bbox.left || x > bbox.left + bbox.width) continue;
    ctx.setLineDash([2 * ratio, 3 * ratio]);
    ctx.beginPath();
    ctx.moveTo(x, bbox.top);
    ctx.lineTo(x, bbox.top + bbox.height);
    ctx.stroke();
    const width = ctx.measureText(words).width;
    const fitsRight = x + width + 4 * ratio < bbox.left + bbox.width;
    const left = fitsRight ? x + 3 * ratio : x - width - 3 * ratio;
    if (left < freeFrom) continue;
    ctx.fillText(words, left, bbox.top + 2 * ratio);
    freeFrom = left + width + 8 * ratio;
  }
  ctx.restore();
}
