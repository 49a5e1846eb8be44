// Thins what was never sent and grew too old or too much: of each ten minutes the median reading stays.
import { msPerMinute } from "../shared/units.ts";
import type { BatchBody, SenmlRecord } from "./pack.ts";

const slotMs = 10 * msPerMinute;

type Timed = { atMs: number; record: SenmlRecord };
/** All that one sensor said within one slot. */
type Group = { name: string; slot: number; host: number; timed: Timed[] };

/**
 * At most as many batches as came. A cell keeps one reading of each ten minutes, the one of median
 * mass, as it was measured; a probe or board value its median one; a cell without mass its last fault.
 */
export function thinnedBatches(bodies: readonly BatchBody[]): BatchBody[] {
  const groups = new Map<string, Group>();
  for (const [host, body] of bodies.entries()) {
    for (const record of body.records) addTo(groups, { host, body, record });
  }
  const kept = bodies.map((): Timed[] => []);
  for (const group of groups.values()) {
    const isNeedless = groups.has(`${faultyCell(group.name)} ${group.slot}`);
    if (!isNeedless) kept[group.host]?.push(...representatives(group));
  }
  return kept.flatMap((timed, host) =>
    timed.length === 0 ? [] : [{ ...bodyFrom(timed), ...undatedOf(bodies[host]) }],
  );
}

function undatedOf(body: BatchBody | undefined): Pick<BatchBody, "undated"> {
  return body?.undated === undefined ? {} : { undated: body.undated };
}

/** The cell of a fault's name; what no group is called for any other. */
function faultyCell(name: string): string {
  return name.endsWith("/fault") ? name.slice(0, -"/fault".length) : "/";
}

function addTo(
  groups: Map<string, Group>,
  { host, body, record }: { host: number; body: BatchBody; record: SenmlRecord },
): void {
  const atMs = Math.round((body.baseS + (record.t ?? 0)) * 1000);
  const slot = Math.floor(atMs / slotMs);
  const [cell = "", quantity = ""] = record.n.split("/");
  const isCell = quantity !== "" && cell !== "probe" && quantity !== "fault";
  const name = isCell ? cell : record.n;
  const key = `${name} ${slot}`;
  const group = groups.get(key) ?? { name, slot, host, timed: [] };
  groups.set(key, group);
  group.host = host;
  group.timed.push({ atMs, record });
}

/** The records of the median moment: a weight keeps its spread and counts beside it. */
function representatives({ timed }: Group): Timed[] {
  const masses = timed.filter(({ record }) => record.n.endsWith("/mass"));
  if (masses.length > 0) {
    const { atMs } = medianOf(masses);
    return timed.filter((one) => one.atMs === atMs);
  }
  const values = timed.filter(({ record }) => record.v !== undefined);
  return values.length > 0 ? [medianOf(values)] : timed.slice(-1);
}

function medianOf(timed: readonly Timed[]): Timed {
  const sorted = [...timed].sort((a, b) => (a.record.v ?? 0) - (b.record.v ?? 0));
  const middle = sorted[(sorted.length - 1) >> 1];
  if (middle === undefined) throw new RangeError("a median requires at least one value, got none");
  return middle;
}

function bodyFrom(timed: readonly Timed[]): BatchBody {
  const sorted = [...timed].sort((a, b) => a.atMs - b.atMs);
  const times = sorted.map(({ atMs }) => atMs);
  const baseS = Math.floor(Math.min(...times) / 1000);
  return {
    untilMs: Math.max(...times),
    baseS,
    records: sorted.map(({ atMs, record }) => ({
      ...record,
      t: Math.round(atMs - baseS * 1000) / 1000,
    })),
  };
}
