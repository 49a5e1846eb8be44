// Checks a board for a minute and says in plain words what works and what to fix next.

import { clockProblem } from "./believable-clock.ts";
import { type CheckReport, checkReport } from "./check-report.ts";
import { type HardwareBoard, wait } from "./hardware.ts";
import type { OpenLink } from "./mqtt-link.ts";
import type { Found } from "./wired-board.ts";

export type CheckSettings = {
  board: HardwareBoard;
  openLink: OpenLink;
  brokerUrl: string;
  nowMs: () => number;
  say: (text: string) => void;
  /** Windows of each cell, one every five seconds. */
  windows: number;
};

/** How long a board may take to start and answer. */
const linkMs = 25_000;
const brokerMs = 10_000;

/** True when there is nothing to fix. */
export async function check(settings: CheckSettings): Promise<boolean> {
  const { board, say, windows } = settings;
  const broker = askBroker(settings.openLink);
  await board.wired.start();
  try {
    say(`Looking for board ${board.wired.name}...`);
    const isUp = await becomesTrue(board.wired.link.isUp, linkMs);
    if (isUp) say(`Weighing for ${(windows - 1) * 5} seconds; leave the buckets alone...`);
    const found = isUp ? await gather(board, windows) : new Map<string, Found[]>();
    const report = reportFrom(settings, found, await broker);
    for (const line of report.lines) say(line);
    say(report.nextToFix === undefined ? "All is well." : `Next to fix: ${report.nextToFix}`);
    return report.nextToFix === undefined;
  } finally {
    await board.wired.stop();
  }
}

async function gather({ wired }: HardwareBoard, windows: number): Promise<Map<string, Found[]>> {
  const found = new Map(wired.source.cells.map(({ cell }) => [cell, [] as Found[]]));
  for (let window = 0; window < windows; window += 1) {
    await Promise.all(
      wired.source.cells.map(async ({ cell }) => {
        const next = await Promise.race([wired.next(cell), wait(30_000)]);
        if (next) found.get(cell)?.push(next);
      }),
    );
  }
  return found;
}

function reportFrom(
  { board, brokerUrl, nowMs }: CheckSettings,
  found: ReadonlyMap<string, readonly Found[]>,
  brokerProblem: string | undefined,
): CheckReport {
  const { description, wired, calibrations } = board;
  const air = wired.source.surroundingsAt(nowMs());
  return checkReport({
    board: wired.name,
    linkProblem: wired.link.problem(),
    firmware: wired.link.firmware(),
    cells: description.cells.map(({ cell, channel }) => ({
      cell,
      channel,
      found: found.get(cell) ?? [],
      countsPerG: calibrations.of(cell)?.countsPerG,
      calibratedAtMs: calibrations.of(cell)?.calibratedAtMs,
    })),
    thermometer: { wanted: description.thermometer !== undefined, airC: air.airC },
    barometer: { wanted: description.barometer !== undefined, pressurePa: air.pressurePa },
    supply: { wanted: description.supply !== undefined, supplyV: air.supplyV },
    clock: { nowMs: nowMs(), problem: clockProblem({ nowMs: nowMs() }) },
    broker: { url: brokerUrl, problem: brokerProblem },
  });
}

/** Undefined when the broker lets the board in. */
async function askBroker(openLink: OpenLink): Promise<string | undefined> {
  let link: ReturnType<OpenLink> | undefined;
  const answer = new Promise<string | undefined>((resolve) => {
    link = openLink({
      ready: () => resolve(undefined),
      kept: () => undefined,
      closed: (problem) => resolve(problem),
    });
    setTimeout(() => resolve("no answer in time"), brokerMs).unref();
  });
  const problem = await answer;
  await link?.close();
  return problem;
}

async function becomesTrue(holds: () => boolean, limitMs: number): Promise<boolean> {
  const endMs = performance.now() + limitMs;
  while (!holds() && performance.now() < endMs) await wait(100);
  return holds();
}
