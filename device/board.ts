// One board: takes the windows that are due, and puts what it read into its outbox.
import type { Outbox } from "./outbox.ts";
import { batchBodyFrom, type TimedSurroundings } from "./pack.ts";
import { createSampler, type FaultWindow, type Reading, type Sampler } from "./scale/sampler.ts";
import type { WindowSource } from "./source.ts";

export type BoardSettings = {
  source: WindowSource;
  outbox: Pick<Outbox, "append">;
  firstMs: number;
  stepMs: number;
  /** How often air, pressure and supply are read. */
  surroundingsStepMs: number;
  /** Also with each pack of readings that falls in between. */
  surroundingsWithReadings?: boolean;
  /** Windows in one pack, which keeps it well below 64 kB. */
  mostPerPack?: number;
};

export type Board = {
  /** Reads all that is due up to and including a time; as few packs as they fit into. */
  collect(untilMs: number): void;
};

export function createBoard(settings: BoardSettings): Board {
  const { source, firstMs, stepMs, mostPerPack = 250 } = settings;
  const cells = source.cells.map((own) => ({
    cell: own.cell,
    sampler: createSampler({ calibration: () => own.calibration, firstMs, stepMs }),
  }));
  let surroundingsDueMs = firstMs;

  function surroundingsUntil(untilMs: number): TimedSurroundings[] {
    const taken: TimedSurroundings[] = [];
    while (surroundingsDueMs <= untilMs) {
      taken.push({ atMs: surroundingsDueMs, ...source.surroundingsAt(surroundingsDueMs) });
      surroundingsDueMs += settings.surroundingsStepMs;
    }
    return taken;
  }

  return {
    collect(untilMs) {
      const readings = cells
        .flatMap(({ cell, sampler }) => readDue({ cell, sampler, source, untilMs }))
        .sort((a, b) => a.atMs - b.atMs);
      const surroundings = surroundingsUntil(untilMs);
      const newestMs = readings.at(-1)?.atMs;
      if (
        settings.surroundingsWithReadings &&
        surroundings.length === 0 &&
        newestMs !== undefined
      ) {
        surroundings.push({ atMs: newestMs, ...source.surroundingsAt(newestMs) });
      }
      for (let from = 0; from === 0 || from < readings.length; from += mostPerPack) {
        const part = readings.slice(from, from + mostPerPack);
        const body = batchBodyFrom({
          readings: part,
          surroundings: from === 0 ? surroundings : [],
        });
        if (body !== undefined) settings.outbox.append(body);
      }
    },
  };
}

type Due = { cell: string; sampler: Sampler; source: WindowSource; untilMs: number };

function readDue({ cell, sampler, source, untilMs }: Due): (Reading | FaultWindow)[] {
  const readings: (Reading | FaultWindow)[] = [];
  const glimpse = source.glimpse?.(cell);
  if (glimpse !== undefined) sampler.notice(glimpse, untilMs);
  while (sampler.dueMs() <= untilMs) {
    const window = source.windowAt(cell, sampler.dueMs());
    if (window === undefined) sampler.miss();
    else readings.push(sampler.take(window));
  }
  return readings;
}
