// The outbox's bounds: kept segments go, unsent ones are thinned before any is dropped.
import { readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { filled, massesFrom, oneToOne, open, segmentsIn } from "./outbox-rig.ts";
import { bodyOf, recordingLog, temporaryFolder } from "./rig.ts";

it("drops whole old segments beyond its size, and says so only when they were never sent", async () => {
  const folder = temporaryFolder();
  const log = recordingLog();
  const bounds = { segmentBytes: 1_000, maxBytes: 4_000 };
  const outbox = open(folder, { log, bounds });
  for (let number = 1; number <= 60; number += 1) {
    outbox.append(bodyOf(number));
    await outbox.idle();
    outbox.noteKept({ store: "a", through: number });
  }
  expect(log.lines).toEqual([]);
  const bytes = segmentsIn(folder).reduce(
    (sum, name) => sum + statSync(join(folder, name)).size,
    0,
  );
  expect(bytes).toBeLessThan(5_200);
  const oldest = massesFrom(outbox)[0]![0];
  expect(oldest).toBeGreaterThan(20);
  expect(massesFrom(outbox)).toEqual(oneToOne(oldest, 60));
  for (let number = 61; number <= 400; number += 1) {
    outbox.append(bodyOf(number));
    await outbox.idle();
  }
  const events = new Set(log.lines.map(({ level, event }) => `${level}: ${event}`));
  expect(events).toEqual(
    new Set([
      "warn: old unsent batches thinned",
      "warn: unsent batches dropped beyond the outbox's bounds",
    ]),
  );
  await outbox.close();
});

/** Ten minutes hold twenty batches of half a minute. */
const slotOf = (number: number) => Math.floor(number / 20);

it("thins what was never sent before it drops any: the median of each ten minutes stays", async () => {
  const folder = temporaryFolder();
  const log = recordingLog();
  const outbox = await filled(folder, 400, {
    log,
    bounds: { segmentBytes: 8_000, maxAgeMs: 200 * 30_000 },
  });
  const left = massesFrom(outbox);
  const masses = left.map(([, mass]) => mass!);
  expect(new Set(masses.map(slotOf)).size).toBe(slotOf(400) + 1);
  expect(masses).toEqual([...masses].sort((a, b) => a - b));
  expect(masses.length).toBeLessThan(270);
  const thinned = log.lines.reduce((sum, { fields }) => sum + Number(fields["batches"]), 0);
  expect(masses.length).toBe(400 - thinned);
  expect(new Set(log.lines.map(({ event }) => event))).toEqual(
    new Set(["old unsent batches thinned"]),
  );
  await outbox.close();
  const again = open(folder);
  expect(massesFrom(again)).toEqual(left);
  await again.close();
});

it("does not thin what may be under way, nor what it has thinned", async () => {
  const folder = temporaryFolder();
  const bounds = { segmentBytes: 1_000, maxAgeMs: 50 * 30_000 };
  const outbox = await filled(folder, 40, { bounds });
  expect(massesFrom(outbox)).toEqual(oneToOne(1, 40));
  for (let number = 41; number <= 200; number += 1) {
    outbox.append(bodyOf(number));
    await outbox.idle();
  }
  expect(massesFrom(outbox).slice(0, 40)).toEqual(oneToOne(1, 40));
  await outbox.close();
});

it("forgets the whole segment when a power cut left it beside the thinned one", async () => {
  const folder = temporaryFolder();
  const bounds = { segmentBytes: 1_000, maxAgeMs: 50 * 30_000 };
  const whole = await filled(folder, 30, { bounds: { segmentBytes: 1_000 } });
  await whole.close();
  const names = segmentsIn(folder);
  const copies = names.map((name) => [name, readFileSync(join(folder, name))] as const);
  const outbox = open(folder, { bounds });
  for (let number = 31; number <= 120; number += 1) {
    outbox.append(bodyOf(number));
    await outbox.idle();
  }
  const left = massesFrom(outbox);
  await outbox.close();
  writeFileSync(join(folder, copies[0]![0]), copies[0]![1]);
  const again = open(folder);
  expect(massesFrom(again)).toEqual(left);
  await again.close();
});

it("drops what is kept and older than its age bound", async () => {
  const folder = temporaryFolder();
  const outbox = open(folder, { bounds: { segmentBytes: 1_000, maxAgeMs: 50 * 30_000 } });
  for (let number = 1; number <= 200; number += 1) {
    outbox.append(bodyOf(number));
    await outbox.idle();
    outbox.noteKept({ store: "a", through: number });
  }
  const oldest = massesFrom(outbox)[0]![0];
  expect(oldest).toBeGreaterThan(130);
  expect(oldest).toBeLessThanOrEqual(150);
  await outbox.close();
});
