// Knows what is in every vessel at a moment, made anew as gatherings and pours come in.
import { msPerMinute } from "../../shared/units.ts";
import type { VesselLine, VesselView } from "../../shared/wire/vessels.ts";
import type { SugarStore } from "../db/sugars.ts";
import type { VesselSituation } from "../domain/alarms/vessel-rules.ts";
import { vesselSubject } from "../domain/alarms/vessel-rules.ts";
import type { AirPoint } from "../domain/keeping/air-ahead.ts";
import { startKeeping } from "../domain/keeping/keeping.ts";
import { type Contents, type ContentsInput, contentsAt } from "../domain/vessels/contents.ts";
import type { AlarmDesk } from "./alarm-desk.ts";
import { airBucket, type SourceParts, vesselSources } from "./vessel-sources.ts";
import { vesselLine, vesselViewOf, withFirst } from "./vessel-view.ts";

export type VesselDeskParts = SourceParts & {
  sugars: SugarStore;
  alarmDesk: AlarmDesk;
  outlook: (nowMs: number) => AirPoint[];
  timeZone: () => string;
};

/** How things stood when they were last gone through. */
type Known = { atMs: number; input: ContentsInput; contents: Contents; views: VesselView[] };

type Desk = VesselDeskParts & { known: Known | undefined; told: string };

const againMs = 5 * msPerMinute;

export type VesselDesk = ReturnType<typeof createVesselDesk>;

export function createVesselDesk(parts: VesselDeskParts) {
  const desk: Desk = { ...parts, known: undefined, told: "[]" };
  return {
    /** A gathering, a pour or a record changed: nothing known holds. */
    changed(): void {
      desk.known = undefined;
    },
    views: (nowMs: number): VesselView[] =>
      knownAt(desk, nowMs).views.map((view) => withAlarms(desk, view)),
    /** Newest first. */
    lines: (vesselId: string, nowMs: number): VesselLine[] =>
      (knownAt(desk, nowMs).contents.lines.get(vesselId) ?? [])
        .map((line) => vesselLine(line, vesselId))
        .reverse(),
    /** Looks for alarms; tells whether one changed, and whether pages should hear of the vessels. */
    judge: (nowMs: number) => judge(desk, nowMs),
  };
}

function withAlarms({ alarmDesk }: Desk, view: VesselView): VesselView {
  const has = alarmDesk.kindsOf(vesselSubject(view.id)).includes("vessel");
  return { ...view, alarms: has ? ["vessel"] : [] };
}

function knownAt(desk: Desk, atMs: number): Known {
  const nowMs = Math.round(atMs);
  const { known } = desk;
  if (known !== undefined && nowMs >= known.atMs && nowMs - known.atMs < againMs) return known;
  const input = vesselSources(desk, nowMs);
  const contents = contentsAt(input);
  const views = viewsFrom(desk, { input, contents, nowMs });
  desk.known = { atMs: nowMs, input, contents, views };
  return desk.known;
}

function viewsFrom(
  desk: Desk,
  { input, contents, nowMs }: { input: ContentsInput; contents: Contents; nowMs: number },
): VesselView[] {
  const records = desk.vessels.list();
  if (records.length === 0) return [];
  const keeping = airBucket(desk.roll)?.track.keeping ?? startKeeping();
  const weather = {
    airDay: keeping.airDay,
    outlook: desk.outlook(nowMs),
    seasonDay: keeping.seasonDay,
    weekMeanC: keeping.weekMeanC,
  };
  const sugars = desk.sugars.list();
  const treeOf = (bucketId: string) => {
    const watched = desk.roll.find(bucketId);
    return watched === undefined ? undefined : desk.roll.treeOf(watched);
  };
  const views = records.flatMap((vessel): VesselView[] => {
    const own = contents.byVessel.get(vessel.id);
    if (own === undefined) return [];
    const around = input.aroundOf(vessel.id, nowMs);
    return [vesselViewOf({ vessel, contents: own, around, weather, sugars, treeOf, nowMs })];
  });
  return withFirst(views);
}

function judge(desk: Desk, nowMs: number): { alarmsChanged: boolean; viewsChanged: boolean } {
  const { views } = knownAt(desk, nowMs);
  const vessels = views.map(
    ({ id, keeping, ...view }): VesselSituation => ({
      ...view,
      vesselId: id,
      boilByMs: keeping?.boilByMs ?? null,
    }),
  );
  // Those of vessels that are gone too, to be cleared.
  const open = desk.alarmDesk.list().filter(({ kind }) => kind === "vessel");
  const subjects = new Set([
    ...vessels.map(({ vesselId }) => vesselSubject(vesselId)),
    ...open.map(({ subject }) => subject),
  ]);
  const situations = { buckets: [], boards: [], store: null, vessels, timeZone: desk.timeZone() };
  const alarmsChanged = subjects.size > 0 && desk.alarmDesk.look(subjects, situations, nowMs);
  const text = JSON.stringify(views);
  const viewsChanged = alarmsChanged || text !== desk.told;
  desk.told = text;
  return { alarmsChanged, viewsChanged };
}
