// Every call of the outbox to the file system fails once in turn: no batch is lost, doubled, or given another's number.
import { mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import type { OutboxSettings } from "../../device/outbox.ts";
import { massesFrom, open } from "../device/outbox-rig.ts";
import { bodyOf } from "../device/rig.ts";
import { createFailingFiles, type Failing } from "../helpers/failing-calls.ts";

let failing: Failing;
let folder: string;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), "brimful-calls-"));
  failing = await createFailingFiles();
});
afterEach(() => {
  failing.restore();
  rmSync(folder, { recursive: true, force: true });
});

const count = 8;
/** A few batches a segment, so that new ones are begun. */
const settings: Partial<OutboxSettings> = {
  retryMs: 1,
  newSpool: () => "a1",
  bounds: { segmentBytes: 400 },
};

/** As the program that is started anew until it can work. */
function openAtLast(more: Partial<OutboxSettings> = settings) {
  try {
    return open(folder, more);
  } catch {
    return open(folder, more);
  }
}

async function written(outbox: ReturnType<typeof open>): Promise<void> {
  while (outbox.waiting() > 0) await new Promise((resolve) => setTimeout(resolve, 1));
  await outbox.idle();
}

async function live(more: Partial<OutboxSettings> = settings): Promise<void> {
  const outbox = openAtLast(more);
  for (let number = 1; number <= count; number += 1) {
    outbox.append(bodyOf(number));
    await outbox.idle();
    if (number === 4 && outbox.last() >= 2) outbox.noteKept({ store: "a", through: 2 });
  }
  await written(outbox);
  await outbox.close();
}

const oneToCount = Array.from({ length: count }, (_, at) => at + 1);

it("while it is opened, written, noted and closed", async () => {
  for (let number = 1; ; number += 1) {
    failing.arm(number);
    await live();
    const failed = failing.disarm();
    const again = open(folder, settings);
    const masses = massesFrom(again).map(([, massKg]) => massKg);
    await again.close();
    expect({ number, failed, masses }).toEqual({ number, failed, masses: oneToCount });
    rmSync(folder, { recursive: true });
    if (failed === undefined) return expect(number).toBeGreaterThan(30);
  }
});

it("while it drops and thins beyond its bounds: what is left is in order, each once", async () => {
  const tight = { ...settings, bounds: { segmentBytes: 400, maxBytes: 800 } };
  await live(tight);
  const usual = open(folder, tight);
  const expected = massesFrom(usual).map(([, massKg]) => massKg);
  await usual.close();
  expect(expected.length).toBeLessThan(count);
  expect(expected.at(-1)).toBe(count);
  for (let number = 1; ; number += 1) {
    rmSync(folder, { recursive: true });
    failing.arm(number);
    await live(tight);
    const failed = failing.disarm();
    const again = open(folder, tight);
    const masses = massesFrom(again).map(([, massKg]) => massKg);
    const files = readdirSync(folder).filter((name) => name.endsWith(".ndjson"));
    await again.close();
    // Whatever was written twice would have taken a number more.
    expect({ failed, last: again.last() }).toEqual({ failed, last: count });
    const isRising = masses.every((mass, at) => at === 0 || mass! > masses[at - 1]!);
    expect({ number, failed, masses, isRising }).toMatchObject({ isRising: true });
    expect(masses.at(-1)).toBe(count);
    // One that could not be removed then is removed later, never for ever more.
    expect({ failed, files: files.length }).toEqual({ failed, files: expect.any(Number) });
    expect(files.length).toBeLessThanOrEqual(5);
    if (failed === undefined) return expect(masses).toEqual(expected);
  }
});
