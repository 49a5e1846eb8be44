// One physical board: sweeps its cells, reads its chips of air, and holds what is newest of each.

import { createAir } from "./air.ts";
import type { BoardDescription } from "./boards-file.ts";
import { createAmplifier } from "./chips/amplifier.ts";
import { createMux } from "./chips/tca9548a.ts";
import { type BoardLink, createBoardLink } from "./link/board-link.ts";
import type { Dial } from "./link/dial.ts";
import type { Log } from "./log.ts";
import type { CalibrationStore } from "./scale/calibration-file.ts";
import { createCellReader } from "./scale/cell-reader.ts";
import type { CellFault } from "./scale/sampler.ts";
import { sweep } from "./scale/sweep.ts";
import type { Surroundings, WindowSource } from "./source.ts";

export type Found = { counts: number[] } | { fault: CellFault };

export type WiredBoard = {
  name: string;
  link: BoardLink;
  source: WindowSource;
  start(): Promise<void>;
  stop(): Promise<void>;
  /** Settles with the next sweep that begins from now on: what it found of a cell. */
  next(cell: string): Promise<Found>;
};

export type WiredSettings = {
  description: BoardDescription;
  dial: Dial;
  log: Log;
  calibrations: CalibrationStore;
  /** Of the yard, to date windows; may jump. */
  nowMs: () => number;
  /** Of the machine, never set back; runs as `wait` does. */
  steadyMs: () => number;
  wait: (forMs: number) => Promise<void>;
  timeoutMs?: number;
  askMs?: number;
  waits?: { leastWaitMs?: number; mostWaitMs?: number };
};

const sweepStepMs = 5_000;
/** What is older than this says nothing about now. */
const staleMs = 15_000;

export function createWiredBoard(settings: WiredSettings): WiredBoard {
  const { description, log } = settings;
  const board = description.name;
  const link = createBoardLink({ ...settings, board });
  const sweeper = createSweeper(settings, link);
  return {
    name: board,
    link,
    source: createSource(settings, sweeper),
    async start() {
      await link.start();
      sweeper.start();
    },
    async stop() {
      await sweeper.stop();
      await link.stop();
      log.debug("board left", { board });
    },
    next: sweeper.next,
  };
}

type Air = Surroundings & { steadyMs: number };

function createSweeper(settings: WiredSettings, link: BoardLink) {
  const { description, steadyMs, wait, log } = settings;
  const mux = createMux(link.bus, description.mux);
  const cells = description.cells.map(({ cell, channel }) => ({
    cell,
    reader: createCellReader(createAmplifier({ mux, channel, wait })),
  }));
  const readAir = createAir(description, link, wait);
  const shelf = createShelf(steadyMs);
  const stopping = createSignal();
  let air: Air | undefined;
  let running: Promise<void> | undefined;

  async function sweepOnce(): Promise<void> {
    shelf.begin();
    await sweep(
      cells.map(({ reader }) => reader),
      { nowMs: steadyMs, wait },
    );
    for (const { cell, reader } of cells) shelf.put(cell, reader.finish());
    air = { ...(await readAir()), steadyMs: steadyMs() };
  }
  async function run(): Promise<void> {
    while (!stopping.given()) {
      const begunMs = steadyMs();
      await sweepOnce().catch((error: unknown) =>
        log.error("sweep failed", { board: description.name, problem: String(error) }),
      );
      const restMs = Math.max(100, sweepStepMs - (steadyMs() - begunMs));
      await Promise.race([wait(restMs), stopping.promise]);
    }
  }
  return {
    newest: shelf.newest,
    air: () => air,
    next: shelf.next,
    start() {
      running ??= run();
    },
    async stop() {
      stopping.give();
      link.bus.setUp(false);
      await running;
    },
  };
}

type Newest = { found: Found; steadyMs: number; taken: boolean };

/** What was found last of each cell, and who waits for a sweep that begins after they asked. */
function createShelf(steadyMs: () => number) {
  const newest = new Map<string, Newest>();
  let waiters: { cell: string; askedIn: number; resolve: (found: Found) => void }[] = [];
  let sweeps = 0;
  return {
    newest: (cell: string) => newest.get(cell),
    begin() {
      sweeps += 1;
    },
    put(cell: string, found: Found | undefined) {
      if (found === undefined) return;
      newest.set(cell, { found, steadyMs: steadyMs(), taken: false });
      const isServed = (waiter: (typeof waiters)[number]) =>
        waiter.cell === cell && waiter.askedIn < sweeps;
      const served = waiters.filter(isServed);
      waiters = waiters.filter((waiter) => !isServed(waiter));
      for (const { resolve } of served) resolve(found);
    },
    next: (cell: string) =>
      new Promise<Found>((resolve) => {
        waiters.push({ cell, askedIn: sweeps, resolve });
      }),
  };
}

function createSignal() {
  let isGiven = false;
  let resolve = (): void => undefined;
  const promise = new Promise<void>((settle) => {
    resolve = settle;
  });
  return {
    promise,
    given: () => isGiven,
    give() {
      isGiven = true;
      resolve();
    },
  };
}

type Sweeper = Pick<ReturnType<typeof createSweeper>, "newest" | "air">;

function createSource(settings: WiredSettings, sweeper: Sweeper): WindowSource {
  const { description, calibrations, nowMs, steadyMs } = settings;
  const fresh = (cell: string) => {
    const newest = sweeper.newest(cell);
    const isFresh = newest !== undefined && steadyMs() - newest.steadyMs < staleMs;
    return isFresh && !newest.taken ? newest : undefined;
  };
  return {
    cells: description.cells.map(({ cell }) => ({
      cell,
      get calibration() {
        return calibrations.of(cell);
      },
    })),
    windowAt(cell, atMs) {
      const newest = fresh(cell);
      // What was due long ago, while the machine slept, was not measured then.
      if (newest === undefined || nowMs() - atMs > staleMs) return undefined;
      newest.taken = true;
      const takenMs = Math.round(atMs - (steadyMs() - newest.steadyMs));
      return { cell, atMs: takenMs, ...newest.found };
    },
    glimpse(cell) {
      const found = fresh(cell)?.found;
      return found !== undefined && "counts" in found ? found.counts : undefined;
    },
    surroundingsAt() {
      const air = sweeper.air();
      if (air === undefined || steadyMs() - air.steadyMs > staleMs) return {};
      const { steadyMs: _at, ...surroundings } = air;
      return surroundings;
    },
  };
}
