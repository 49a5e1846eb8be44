// Outboxes for tests: opened, filled with numbered batches, and read as they would be sent.
import { readdirSync } from "node:fs";
import { type OutboxSettings, openOutbox } from "../../device/outbox.ts";
import { bodyOf, recordingLog } from "./rig.ts";

export function open(folder: string, more: Partial<OutboxSettings> = {}) {
  return openOutbox({ folder, log: recordingLog(), ...more });
}

export async function filled(folder: string, count: number, more: Partial<OutboxSettings> = {}) {
  const outbox = open(folder, more);
  for (let number = 1; number <= count; number += 1) {
    outbox.append(bodyOf(number));
    if (number % 7 === 0) await outbox.idle();
  }
  await outbox.idle();
  return outbox;
}

export function segmentsIn(folder: string): string[] {
  return readdirSync(folder)
    .filter((name) => name.endsWith(".ndjson"))
    .sort();
}

/** The masses from a number on, as they would be sent. */
export function massesFrom(
  outbox: ReturnType<typeof open>,
  from = 1,
): [number, number | undefined][] {
  const found: [number, number | undefined][] = [];
  for (let next = outbox.next(from); next !== undefined; next = outbox.next(next.batch + 1)) {
    found.push([next.batch, next.records[0]?.v]);
  }
  return found;
}

export function oneToOne(from: number, through: number): [number, number][] {
  return Array.from({ length: through - from + 1 }, (_, at) => [from + at, from + at]);
}
