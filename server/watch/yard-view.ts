// Builds what the first screen shows from what is known of boards and buckets.
import { volumeLFromG } from "../../shared/sap/density.ts";
import { kgFromG, msPerMinute } from "../../shared/units.ts";
import type { AlarmKind, BoardView, BucketView } from "../../shared/wire/api.ts";
import type { Tree } from "../../shared/wire/records.ts";
import type { WetView } from "../../shared/wire/wet.ts";
import type { Boards } from "../db/boards.ts";
import type { Quantity, Readings } from "../db/readings.ts";
import type { BucketSetup, FlowEstimate } from "../domain/bucket.ts";
import type { BucketSummary } from "../domain/do-now.ts";
import { contradictionOf } from "../domain/flow/contradiction.ts";
import { laidOnOf } from "../domain/flow/laid-on.ts";
import { snowOnLidG } from "../domain/flow/lid.ts";
import { sapEstimateAt, stateAt } from "./assess.ts";
import { presentSetup, type Watched } from "./watched.ts";

export function bucketView(
  watched: Watched,
  context: { nowMs: number; tree: Tree | undefined; alarms: AlarmKind[]; dayKey: string },
): BucketView {
  const { bucket, track, assessment } = watched;
  const { tree } = context;
  const setup = presentSetup(watched);
  const nowMs = Math.max(context.nowMs, track.atMs ?? 0);
  const estimate = presentEstimate(watched);
  const todayG = watched.today?.dayKey === context.dayKey ? watched.today.inflowG : null;
  return {
    id: bucket.id,
    label: bucket.label,
    role: bucket.role,
    tree: tree === undefined ? null : { id: tree.id, label: tree.label },
    tapIds: bucket.tapIds,
    cell: bucket.cell,
    capacityL: bucket.capacityL,
    emptyKg: bucket.emptyKg,
    sunShare: bucket.sunShare,
    massKg: track.massG === null ? null : rounded(kgFromG(track.massG), 3),
    ...weighed(estimate, setup),
    contradiction: (estimate && contradictionOf(estimate, setup, track)) ?? null,
    laidOn: laidOnView(watched),
    wet: wetView(watched, nowMs),
    todayL: todayG === null ? null : rounded(volumeLFromG(Math.max(0, todayG)), 3),
    state: stateNow(watched, nowMs),
    lastReadingMs: track.atMs,
    isDatedAhead: isDatedAhead(watched, context.nowMs),
    washedMs: watched.washedMs.at(-1) ?? null,
    brim: assessment?.decision?.brim ?? null,
    outlook: assessment?.outlook ?? null,
    keeping: assessment?.keeping ?? null,
    keepingMissing: assessment?.keepingMissing ?? null,
    alarms: context.alarms,
  };
}

/** While stored readings are still being gone through, as of the last one that was: the next is no news yet. */
function stateNow(watched: Watched, nowMs: number): BucketView["state"] {
  return stateAt(watched, watched.isBehind ? (watched.track.atMs ?? nowMs) : nowMs);
}

/** So little no clock need be set for. */
const littleAheadMs = msPerMinute;

function isDatedAhead({ waitsForMs }: Watched, nowMs: number): boolean {
  return waitsForMs !== undefined && waitsForMs > nowMs + littleAheadMs;
}

/** What the filter made of the last reading; null before there is any to speak of. */
function presentEstimate(watched: Watched): FlowEstimate | null {
  const { bucket, track } = watched;
  if (bucket.cell === null || track.atMs === null) return null;
  return sapEstimateAt(watched, presentSetup(watched), track.atMs);
}

function laidOnView({ bucket, track }: Watched): BucketView["laidOn"] {
  if (bucket.cell === null || track.massG === null) return null;
  const laidOn = laidOnOf(track.flow, track.massG);
  if (laidOn === undefined) return null;
  const { sinceMs, massG, isCounted } = laidOn;
  return { sinceMs, massKg: rounded(kgFromG(massG), 3), isCounted };
}

function wetView({ track, wet, rainG }: Watched, nowMs: number): WetView {
  const falls = wet !== undefined && nowMs <= wet.untilMs ? wet : undefined;
  return {
    falling: falls?.kind ?? null,
    fallingLPerH: falls === undefined ? null : rounded(volumeLFromG(falls.gPerH), 3),
    rainL: rounded(volumeLFromG(rainG), 3),
    lidSnowKg: rounded(kgFromG(snowOnLidG(track.ledger.lid)), 3),
  };
}

type Weighed = Pick<
  BucketView,
  "volumeL" | "fullFraction" | "flowLPerH" | "flowLowLPerH" | "flowHighLPerH"
>;

const notWeighed: Weighed = {
  volumeL: null,
  fullFraction: null,
  flowLPerH: null,
  flowLowLPerH: null,
  flowHighLPerH: null,
};

/** A bucket that is off its cell has what it had, and no flow. */
function weighed(estimate: FlowEstimate | null, setup: BucketSetup): Weighed {
  if (estimate === null) return notWeighed;
  const netG = Math.max(0, estimate.netG);
  const level = {
    volumeL: rounded(volumeLFromG(netG), 3),
    fullFraction: rounded(netG / setup.capacityG, 4),
  };
  if (estimate.away) return { ...notWeighed, ...level };
  return {
    ...level,
    flowLPerH: rounded(volumeLFromG(estimate.flowGPerH), 4),
    flowLowLPerH: rounded(volumeLFromG(estimate.lowGPerH), 4),
    flowHighLPerH: rounded(volumeLFromG(estimate.highGPerH), 4),
  };
}

/** What the sentence on top needs to know of a bucket. */
export function bucketSummary(watched: Watched, view: BucketView): BucketSummary {
  const { assessment } = watched;
  const estimate = presentEstimate(watched);
  return {
    id: view.id,
    state: view.state,
    netG: estimate === null ? null : Math.max(0, estimate.netG),
    decision: assessment?.decision ?? null,
    warned: view.alarms.includes("brim"),
    keeping: assessment?.keeping ?? null,
    doubt: assessment?.fault ?? estimate?.doubt ?? null,
  };
}

export function boardViews(
  { boards, readings }: { boards: Boards; readings: Readings },
  { nowMs, bucketOnCell }: { nowMs: number; bucketOnCell: ReadonlyMap<string, string> },
): BoardView[] {
  const latest = new Map(
    readings.latestOfCells(nowMs).map((reading) => [reading.cellKey, reading]),
  );
  const cells = boards.listCells();
  const probes = boards.listProbes();
  const latestOf = (board: string, quantity: Quantity) =>
    readings.latestValue({ board, quantity, atMs: nowMs })?.value ?? null;
  return boards.listBoards().map((board) => ({
    name: board.name,
    online: board.online,
    program: board.program,
    lastHeardMs: board.lastHeardMs,
    airC: airOf({ boards, readings }, board.name, nowMs),
    pressurePa: latestOf(board.name, "pressure"),
    supplyV: latestOf(board.name, "supply"),
    cells: cells
      .filter((cell) => cell.board === board.name)
      .map((cell) => {
        const path = `${board.name}/${cell.name}`;
        const reading = latest.get(cell.key);
        const fault = readings.latestFault({ cellKey: cell.key, atMs: nowMs });
        return {
          cell: path,
          massKg: reading === undefined ? null : rounded(kgFromG(reading.massG), 3),
          lastReadingMs: reading?.atMs ?? null,
          fault: fault !== undefined && fault.atMs > (reading?.atMs ?? 0) ? fault.fault : null,
          bucketId: bucketOnCell.get(path) ?? null,
        };
      }),
    probes: probes.flatMap((probe) =>
      probe.board === board.name ? [`${board.name}/${probe.name}`] : [],
    ),
  }));
}

function airOf(
  { boards, readings }: { boards: Boards; readings: Readings },
  board: string,
  nowMs: number,
): number | null {
  const probeKey = boards.findProbe(board, "air")?.key;
  if (probeKey === undefined) return null;
  return readings.temperatureAt({ probeKey, atMs: nowMs })?.tempC ?? null;
}

/** Cells that weigh something and carry no bucket. */
export function newCells(boards: readonly BoardView[]): string[] {
  return boards.flatMap(({ cells }) =>
    cells
      .filter(({ bucketId, massKg }) => bucketId === null && massKg !== null)
      .map(({ cell }) => cell),
  );
}

function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals));
}
