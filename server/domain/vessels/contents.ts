// What is in each vessel, made anew from all that was poured: how much, of which trees, since when, how far spent.
import { volumeLFromG } from "../../../shared/sap/density.ts";
import { boilByPerMl } from "../keeping/growth.ts";
import { earlyOf, memberCount, memberWallCount } from "../keeping/members.ts";
import { mixed, noSap, poured, type SapBody } from "../keeping/mixing.ts";
import type { Flow } from "./flows.ts";
import { type Surrounding, stood } from "./standing.ts";

/** A part of what is in a vessel: from one gathering, or from elsewhere. */
export type Portion = { bucketId: string | null; sinceMs: number; volumeL: number };

export type VesselContents = {
  /** Up to when it was gone through; null before anything went in. */
  atMs: number | null;
  body: SapBody;
  /** Oldest first. */
  portions: readonly Portion[];
  /** It held sap since it was last washed. */
  dirty: boolean;
  washedMs: number | null;
  /** Since when boil-by is past; null when it is not. */
  pastSinceMs: number | null;
};

/** One line of a vessel's history: what a flow moved in or out of it, and what was in afterwards. */
export type ContentsLine = {
  flow: Flow;
  way: "in" | "out";
  volumeL: number;
  afterL: number;
  shortL: number;
};

export type ContentsInput = {
  vesselIds: readonly string[];
  /** In order of time. */
  flows: readonly Flow[];
  washings: readonly { vesselId: string; atMs: number }[];
  /** The sap of a gathering as it was in its bucket; of a pour from elsewhere, fresh. */
  bodyOf: (flow: Flow, volumeL: number) => SapBody;
  aroundOf: (vesselId: string, atMs: number) => Surrounding;
  nowMs: number;
};

export type Contents = {
  byVessel: Map<string, VesselContents>;
  lines: Map<string, ContentsLine[]>;
};

/** Less than this clings to the wall: the vessel counts as emptied. */
const emptyL = 0.05;

const untouched: VesselContents = {
  atMs: null,
  body: noSap,
  portions: [],
  dirty: false,
  washedMs: null,
  pastSinceMs: null,
};

export function volumeOf({ portions }: Pick<VesselContents, "portions">): number {
  return portions.reduce((sum, { volumeL }) => sum + volumeL, 0);
}

/**
 * Everything up to nowMs gone through from the start. Mass closes: what went in and what was short
 * is what went out and what is left. More cannot be taken out than there is: the rest is `shortL`,
 * but what was poured over arrives in full, for a person saw it.
 */
export function contentsAt(input: ContentsInput): Contents {
  const byVessel = new Map(input.vesselIds.map((id) => [id, untouched]));
  const lines = new Map(input.vesselIds.map((id) => [id, [] as ContentsLine[]]));
  const happenings = [
    ...input.washings.map((washing) => ({ atMs: washing.atMs, washing, flow: undefined })),
    ...input.flows.map((flow) => ({ atMs: flow.atMs, flow, washing: undefined })),
  ].sort((a, b) => a.atMs - b.atMs);
  for (const { atMs, flow, washing } of happenings) {
    if (atMs > input.nowMs) break;
    if (washing !== undefined) {
      const before = byVessel.get(washing.vesselId);
      if (before !== undefined) byVessel.set(washing.vesselId, washed(before, atMs));
    } else applyFlow({ byVessel, lines }, flow, input);
  }
  for (const [id, contents] of byVessel) {
    byVessel.set(
      id,
      agedTo(contents, input.nowMs, (atMs) => input.aroundOf(id, atMs)),
    );
  }
  return { byVessel, lines };
}

type Load = { body: SapBody; portions: readonly Portion[] };

function applyFlow({ byVessel, lines }: Contents, flow: Flow, input: ContentsInput): void {
  const { atMs, fromVesselId, intoVesselId } = flow;
  const from = fromVesselId === null ? undefined : byVessel.get(fromVesselId);
  let load = loadFromElsewhere(flow, input);
  if (from !== undefined && fromVesselId !== null) {
    const aged = agedTo(from, atMs, (when) => input.aroundOf(fromVesselId, when));
    const haveL = volumeOf(aged);
    const askedL = flow.volumeL ?? haveL;
    const taken = takenOut(aged, askedL);
    byVessel.set(fromVesselId, taken.rest);
    load = taken.load;
    const volumeL = Math.min(askedL, haveL);
    const shortL = askedL - volumeL;
    const afterL = volumeOf(taken.rest);
    lines.get(fromVesselId)?.push({ flow, way: "out", volumeL, afterL, shortL });
    if (shortL > 0 && intoVesselId !== null) load = joined(load, unknownLoad(flow, shortL, input));
  }
  const into = intoVesselId === null ? undefined : byVessel.get(intoVesselId);
  if (into === undefined || intoVesselId === null) return;
  const aged = agedTo(into, atMs, (when) => input.aroundOf(intoVesselId, when));
  const filled = takenIn(aged, load, atMs);
  byVessel.set(intoVesselId, filled);
  const volumeL = volumeOf(load);
  lines.get(intoVesselId)?.push({ flow, way: "in", volumeL, afterL: volumeOf(filled), shortL: 0 });
}

function loadFromElsewhere(flow: Flow, input: ContentsInput): Load {
  if (flow.fromVesselId !== null) return { body: noSap, portions: [] };
  return unknownLoad(flow, flow.volumeL ?? 0, input);
}

function unknownLoad(flow: Flow, volumeL: number, { bodyOf }: ContentsInput): Load {
  const bucketId = flow.gathering?.bucketId ?? null;
  return {
    body: bodyOf(flow, volumeL),
    portions: [{ bucketId, sinceMs: flow.atMs, volumeL }],
  };
}

function joined(one: Load, other: Load): Load {
  return {
    body: mixed(one.body, other.body),
    portions: [...one.portions, ...other.portions].sort((a, b) => a.sinceMs - b.sinceMs),
  };
}

function takenOut(from: VesselContents, askedL: number): { load: Load; rest: VesselContents } {
  const haveL = volumeOf(from);
  const share = haveL <= 0 ? 0 : Math.min(1, askedL / haveL);
  const { poured: body, rest } = poured(from.body, from.body.netG * share);
  const parted = (part: number) =>
    from.portions.map((portion) => ({ ...portion, volumeL: portion.volumeL * part }));
  const load = { body, portions: parted(share) };
  if (haveL * (1 - share) < emptyL) {
    const emptied = { body: noSap, portions: [], pastSinceMs: null };
    return { load, rest: { ...from, ...emptied } };
  }
  return { load, rest: { ...from, body: rest, portions: parted(1 - share) } };
}

function takenIn(into: VesselContents, load: Load, atMs: number): VesselContents {
  const isFirst = into.portions.length === 0;
  const wall = isFirst ? wallOf(into) : noSap;
  const { portions, body } = joined(
    { body: mixed(into.body, wall), portions: into.portions },
    load,
  );
  return { ...into, atMs, portions, body, dirty: true };
}

/** What clings to its wall, as to a bucket's. */
function wallOf({ dirty }: VesselContents): SapBody {
  const counts = Array.from({ length: memberCount }, (_, member) =>
    memberWallCount(member, !dirty),
  );
  return { netG: 0, enthalpyJ: 0, counts };
}

/** Washing says nothing of sap that is in: then it holds for the time before that. */
function washed(contents: VesselContents, atMs: number): VesselContents {
  const dirty = contents.dirty && contents.portions.length > 0;
  return { ...contents, dirty, washedMs: atMs };
}

function agedTo(
  contents: VesselContents,
  toMs: number,
  aroundAt: (atMs: number) => Surrounding,
): VesselContents {
  const { atMs, portions } = contents;
  if (atMs === null || atMs >= toMs || portions.length === 0) return { ...contents, atMs: toMs };
  const body = stood(contents.body, { fromMs: atMs, toMs }, aroundAt(atMs));
  const perMl = body.netG <= 0 ? 0 : earlyOf(body.counts) / (volumeLFromG(body.netG) * 1000);
  const pastSinceMs = perMl >= boilByPerMl ? (contents.pastSinceMs ?? toMs) : null;
  return { ...contents, atMs: toMs, body, pastSinceMs };
}
