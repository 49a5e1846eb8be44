// One batch as one line of an outbox file: its content behind a checksum, so that a torn line shows.
import { createHash } from "node:crypto";
import { z } from "zod";
import type { BatchBody } from "./pack.ts";

const recordSchema = z.object({
  n: z.string(),
  u: z.string().optional(),
  t: z.number().optional(),
  v: z.number().optional(),
  vs: z.string().optional(),
});
const contentSchema = z.object({
  batch: z.number().int().min(1),
  untilMs: z.number(),
  baseS: z.number(),
  records: z.array(recordSchema),
  undated: z
    .object({ boot: z.string(), aheadMs: z.number(), aheadOfClockMs: z.number().optional() })
    .optional(),
});

export type KeptBatch = BatchBody & { batch: number };

const opening = '{"sum":"';
const middle = '","of":';
const sumLength = 16;
const headLength = opening.length + sumLength + middle.length;

function sumOf(text: string): string {
  return createHash("sha256").update(text).digest("hex").slice(0, sumLength);
}

/** The line of a batch, with its line end. */
export function formatLine(batch: number, body: BatchBody): string {
  const text = JSON.stringify({ batch, ...body });
  return `${opening}${sumOf(text)}${middle}${text}}\n`;
}

/** The batch of a line without its line end; undefined when it is torn or damaged. */
export function parseLine(line: string): KeptBatch | undefined {
  const text = soundText(line);
  if (text === undefined) return undefined;
  const content = contentSchema.safeParse(JSON.parse(text));
  return content.success ? (content.data as KeptBatch) : undefined;
}

function soundText(line: string): string | undefined {
  if (!line.startsWith(opening) || !line.endsWith("}")) return undefined;
  const text = line.slice(headLength, -1);
  const sum = line.slice(opening.length, opening.length + sumLength);
  return sum === sumOf(text) ? text : undefined;
}
