// A vessel as the page shows it, from its record and its contents.

import type { Tree } from "../../shared/wire/records.ts";
import type { TreeSugar } from "../../shared/wire/rounds.ts";
import type { Vessel, VesselLine, VesselView } from "../../shared/wire/vessels.ts";
import { sapNode } from "../domain/keeping/temperature.ts";
import { type ContentsLine, type VesselContents, volumeOf } from "../domain/vessels/contents.ts";
import type { Surrounding } from "../domain/vessels/standing.ts";
import { aroundC } from "../domain/vessels/standing.ts";
import { latestTemp, type VesselWeather, vesselKeeping } from "../domain/vessels/vessel-keeping.ts";

export type VesselViewInput = {
  vessel: Vessel;
  contents: VesselContents;
  around: Surrounding;
  weather: VesselWeather;
  /** In order of time. */
  sugars: readonly TreeSugar[];
  treeOf: (bucketId: string) => Tree | undefined;
  nowMs: number;
};

const leastL = 0.05;
const rounded = (value: number, decimals: number) => Number(value.toFixed(decimals));

export function vesselViewOf(input: VesselViewInput): VesselView {
  const { vessel, contents, around, weather } = input;
  const volumeL = volumeOf(contents);
  const isEmpty = volumeL < leastL;
  const answer = isEmpty ? null : vesselKeeping(contents, around, weather);
  const times = contents.portions.map(({ sinceMs }) => sinceMs);
  return {
    ...vessel,
    volumeL: rounded(volumeL, 3),
    fullFraction: rounded(volumeL / vessel.capacityL, 4),
    sinceMs: times.length === 0 ? null : Math.min(...times),
    newestMs: times.length === 0 ? null : Math.max(...times),
    dirty: contents.dirty,
    washedMs: contents.washedMs,
    ...temperatureOf(input, isEmpty),
    keeping: answer?.keeping ?? null,
    keepingMissing: isEmpty ? "it is empty" : (answer?.missing ?? null),
    ...madeOf(input),
    useFirst: false,
    alarms: [],
  };
}

function temperatureOf(
  { contents, around, nowMs }: VesselViewInput,
  isEmpty: boolean,
): Pick<VesselView, "tempC" | "tempFrom"> {
  const measured = latestTemp(around.measured, nowMs);
  if (isEmpty || (measured === undefined && aroundC(around, nowMs) === null)) {
    return { tempC: null, tempFrom: null };
  }
  const { tempC } = sapNode(contents.body.enthalpyJ, contents.body.netG);
  return { tempC: rounded(tempC, 1), tempFrom: measured?.from ?? "place" };
}

/** Whose sap it is, most first, and how sweet as far as the trees' own sugar is known. */
function madeOf({
  contents,
  treeOf,
  sugars,
}: VesselViewInput): Pick<VesselView, "shares" | "sugarBrix" | "sugarKnownL"> {
  const byTree = new Map<string | null, { label: string; volumeL: number }>();
  for (const { bucketId, volumeL } of contents.portions) {
    const tree = bucketId === null ? undefined : treeOf(bucketId);
    const key = tree?.id ?? null;
    const before = byTree.get(key)?.volumeL ?? 0;
    byTree.set(key, { label: tree?.label ?? "elsewhere", volumeL: before + volumeL });
  }
  const shares = [...byTree]
    .map(([treeId, { label, volumeL }]) => ({ treeId, label, volumeL: rounded(volumeL, 3) }))
    .sort((a, b) => b.volumeL - a.volumeL);
  const known = shares.flatMap(({ treeId, volumeL }) => {
    const brix = sugars.findLast((sugar) => sugar.treeId === treeId)?.brix;
    return brix === undefined ? [] : [{ brix, volumeL }];
  });
  const knownL = known.reduce((sum, { volumeL }) => sum + volumeL, 0);
  const sugarL = known.reduce((sum, { brix, volumeL }) => sum + brix * volumeL, 0);
  const sugarBrix = knownL <= 0 ? null : rounded(sugarL / knownL, 2);
  return { shares, sugarBrix, sugarKnownL: rounded(knownL, 3) };
}

/** First in, first out: what should be boiled earliest; where nothing is known of that, the oldest. */
export function withFirst(views: readonly VesselView[]): VesselView[] {
  const waiting = views.filter(({ volumeL, parked }) => volumeL >= leastL && !parked);
  const never = Number.MAX_SAFE_INTEGER;
  const [first] = [...waiting].sort(
    (a, b) =>
      (a.keeping?.boilByMs ?? never) - (b.keeping?.boilByMs ?? never) ||
      (a.sinceMs ?? never) - (b.sinceMs ?? never),
  );
  return views.map((view) => ({ ...view, useFirst: view.id === first?.id && waiting.length > 1 }));
}

export function vesselLine(
  { flow, way, volumeL, afterL, shortL }: ContentsLine,
  vesselId: string,
): VesselLine {
  const { fromVesselId, intoVesselId, gathering, pour } = flow;
  const other = way === "in" ? fromVesselId : intoVesselId;
  return {
    atMs: flow.atMs,
    kind: lineKind(flow, way),
    gatheringId: gathering?.id ?? null,
    pourId: pour?.id ?? null,
    bucketId: gathering?.bucketId ?? null,
    otherVesselId: other === vesselId ? null : other,
    volumeL: rounded(volumeL, 3),
    afterL: rounded(afterL, 3),
    shortL: rounded(shortL, 3),
    note: gathering?.note ?? pour?.note ?? null,
  };
}

function lineKind(
  { gathering, pour }: ContentsLine["flow"],
  way: "in" | "out",
): VesselLine["kind"] {
  if (gathering !== null || pour === null) return "gathering";
  if (pour.kind !== "over") return pour.kind;
  return way === "in" ? "over-in" : "over-out";
}
