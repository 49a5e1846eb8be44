// MQTT topics and the small JSON payloads that ride on them.
import { z } from "zod";

export const topicPrefix = "brimful/1";

const namePattern = /^[a-z0-9][a-z0-9-]{0,31}$/;
const reservedNames = new Set(["alarms", "forecast"]);

/** Board and cell names: a letter or digit, then up to 31 of letters, digits and hyphens. */
export function isName(text: string): boolean {
  return namePattern.test(text);
}

/** A board's name: a name that isn't one of the server's own topics. */
export function isBoardName(text: string): boolean {
  return isName(text) && !reservedNames.has(text);
}

export type BoardTopicKind = "readings" | "presence" | "kept" | "orders" | "answers";

export function boardTopic(board: string, kind: BoardTopicKind): string {
  return `${topicPrefix}/${board}/${kind}`;
}

export function alarmTopic(bucketId: string): string {
  return `${topicPrefix}/alarms/${bucketId}`;
}

export const forecastTopic = `${topicPrefix}/forecast`;

const boardKinds: readonly string[] = ["readings", "presence", "kept", "orders", "answers"];

/** Which board and kind a topic names; undefined for anything that isn't a board's topic. */
export function boardTopicParts(
  topic: string,
): { board: string; kind: BoardTopicKind } | undefined {
  const [root, version, board, kind, ...rest] = topic.split("/");
  if (`${root}/${version}` !== topicPrefix || rest.length > 0) return undefined;
  if (board === undefined || !isBoardName(board)) return undefined;
  if (kind === undefined || !boardKinds.includes(kind)) return undefined;
  return { board, kind: kind as BoardTopicKind };
}

/** `presence`: retained by the broker, "offline" published by it as the board's last will. */
export const presenceSchema = z.object({
  v: z.literal(1),
  online: z.boolean(),
  program: z.string().max(80).optional(),
});
export type Presence = z.infer<typeof presenceSchema>;

/** `kept`: all batches of `spool` up to `through` are on the server's disk, refused or skipped. */
export const keptSchema = z.object({
  v: z.literal(1),
  store: z.string().min(1).max(64),
  spool: z.string().min(1).max(64),
  through: z.number().int().min(0),
});
export type Kept = z.infer<typeof keptSchema>;

/** `alarms/<bucket>`: what is wrong with one bucket now; an empty payload when all is well. */
export const alarmNoteSchema = z.object({
  v: z.literal(1),
  kinds: z.array(z.string()),
  text: z.string(),
});
export type AlarmNote = z.infer<typeof alarmNoteSchema>;

export const orderKindSchema = z.enum(["zero", "identify", "lamp", "calibration"]);
export const lampStateSchema = z.enum(["off", "on", "blinking"]);

/** `orders`: what a person asks of a board from the page. After `expiresMs` it is not obeyed any more. */
export const orderSchema = z.object({
  v: z.literal(1),
  id: z.string().min(1).max(64),
  order: orderKindSchema,
  /** The cell that `zero` and `calibration` are for. */
  cell: z.string().refine(isName).optional(),
  /** What `lamp` asks for. */
  lamp: lampStateSchema.optional(),
  expiresMs: z.number(),
});
export type Order = z.infer<typeof orderSchema>;

/** What a cell weighs with, as its board keeps it. */
export const toldCalibrationSchema = z.object({
  zeroCounts: z.number(),
  countsPerG: z.number(),
  calibratedAtMs: z.number(),
  /** When the zero alone was set after that. */
  zeroedAtMs: z.number().optional(),
});

/** `answers`: what came of an order, in words for a person. */
export const answerSchema = z.object({
  v: z.literal(1),
  id: z.string(),
  done: z.boolean(),
  text: z.string().max(400),
  /** What was asked for with the order `calibration`. */
  calibration: toldCalibrationSchema.optional(),
});
export type Answer = z.infer<typeof answerSchema>;
