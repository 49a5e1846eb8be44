// A figure as it is on the page, drawn onto one canvas and handed over as a PNG file.
import { handOver } from "./hand-over.ts";
import { pageInks } from "./inks.ts";

const marginPx = 16;

/** Draws every canvas of the figure, every text marked `data-drawn` and every line key, where they are. */
export function savePicture(figure: HTMLElement, name: string): void {
  const canvas = pictureOf(figure);
  canvas.toBlob((blob) => {
    if (blob !== null) handOver(blob, `${name}.png`);
  }, "image/png");
}

function pictureOf(figure: HTMLElement): HTMLCanvasElement {
  const frame = figure.getBoundingClientRect();
  const ratio = Math.max(1, devicePixelRatio);
  const canvas = document.createElement("canvas");
  canvas.width = Math.round((frame.width + 2 * marginPx) * ratio);
  canvas.height = Math.round((frame.height + 2 * marginPx) * ratio);
  const ctx = canvas.getContext("2d");
  if (ctx === null) throw new Error("a picture requires a canvas to draw on, got none");
  ctx.scale(ratio, ratio);
  ctx.fillStyle = getComputedStyle(document.documentElement).backgroundColor;
  ctx.fillRect(0, 0, canvas.width, canvas.height);
  ctx.translate(marginPx - frame.left, marginPx - frame.top);
  for (const drawn of figure.querySelectorAll("canvas")) {
    const { left, top, width, height } = drawn.getBoundingClientRect();
    ctx.drawImage(drawn, left, top, width, height);
  }
  for (const text of figure.querySelectorAll<HTMLElement>("[data-drawn]")) drawText(ctx, text);
  for (const key of figure.querySelectorAll<SVGElement>(".line-key line")) drawKey(ctx, key);
  return canvas;
}

function drawText(ctx: CanvasRenderingContext2D, element: HTMLElement): void {
  const { left, top, width, height } = element.getBoundingClientRect();
  const style = getComputedStyle(element);
  ctx.font = `${style.fontStyle} ${style.fontSize} ${style.fontFamily}`;
  ctx.fillStyle = style.color;
  ctx.textBaseline = "top";
  const lineHeight = Number.parseFloat(style.lineHeight) || Number.parseFloat(style.fontSize) * 1.4;
  for (const [row, line] of wrapped(ctx, element.textContent, width).entries()) {
    if (row * lineHeight < height) ctx.fillText(line, left, top + row * lineHeight);
  }
}

function wrapped(ctx: CanvasRenderingContext2D, text: string, width: number): string[] {
  const lines: string[] = [""];
  for (const word of text.split(/\s+/)) {
    const longer = `${lines.at(-1)} ${word}`.trim();
    if (ctx.measureText(longer).width <= width + 1) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}

function drawKey(ctx: CanvasRenderingContext2D, key: SVGElement): void {
  const { left, top, width, height } = key.getBoundingClientRect();
  const style = getComputedStyle(key);
  ctx.save();
  ctx.strokeStyle = style.stroke === "none" ? pageInks().ink : style.stroke;
  ctx.lineWidth = Number.parseFloat(style.strokeWidth) || 2;
  const dash = key.getAttribute("stroke-dasharray");
  ctx.setLineDash(dash === null ? [] : dash.split(" ").map(Number));
  ctx.beginPath();
  ctx.moveTo(left, top + height / 2);
  ctx.lineTo(left + width, top + height / 2);
  ctx.stroke();
  ctx.restore();
}
