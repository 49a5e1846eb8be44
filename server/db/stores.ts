// Opens the store and hands out all that reads and writes it.
import { type AirToldStore, createAirToldStore } from "./air-told.ts";
import { type AlarmStore, createAlarmStore } from "./alarms.ts";
import { type BatchStore, createBatchStore } from "./batches.ts";
import { type Boards, createBoards } from "./boards.ts";
import { type BoilSettings, createBoilSettings } from "./boil-settings.ts";
import { type BoilStore, createBoilStore } from "./boils.ts";
import { type BucketStore, createBucketStore } from "./buckets.ts";
import { type CorrectionStore, createCorrectionStore } from "./corrections.ts";
import { type Credentials, createCredentials } from "./credentials.ts";
import { createExportStore, type ExportStore } from "./export.ts";
import { createForecastStore, type ForecastStore } from "./forecast.ts";
import { createForecastSaidStore, type ForecastSaidStore } from "./forecast-said.ts";
import { createGatheringStore, type GatheringStore } from "./gatherings.ts";
import { createLateStore, type LateStore } from "./late.ts";
import { lockStore, type StoreLock } from "./lock.ts";
import { createNoticePeopleStore, type NoticePeopleStore } from "./notice-people.ts";
import { asStorageError, keepPrivate, makeFolder, openStore, storeFile, storeId } from "./open.ts";
import { createPeopleSettings, type PeopleSettings } from "./people-settings.ts";
import { createPourStore, type PourStore } from "./pours.ts";
import { createReadings, type Readings } from "./readings.ts";
import { createRejected, type RejectedStore } from "./rejected.ts";
import { createRoundStore, type RoundStore } from "./rounds.ts";
import { createSeasonStore, type SeasonStore } from "./seasons.ts";
import { createSessionStore, type SessionStore } from "./sessions.ts";
import { createSettings, type Settings } from "./settings.ts";
import { requireUndamagedFile } from "./sound.ts";
import { createSpools, type Spools } from "./spools.ts";
import type { Sqlite } from "./sqlite.ts";
import { createSugarStore, type SugarStore } from "./sugars.ts";
import { createTapStore, type TapStore } from "./taps.ts";
import { createToldStore, type ToldStore } from "./told.ts";
import { createTracks, type Tracks } from "./tracks.ts";
import { createTreeStore, type TreeStore } from "./trees.ts";
import { createVesselStore, type VesselStore } from "./vessels.ts";
import { createViewingLinkStore, type ViewingLinkStore } from "./viewing-links.ts";
import { createWetStore, type WetStore } from "./wets.ts";

export type Stores = {
  sqlite: Sqlite;
  storeId: string;
  settings: Settings;
  people: PeopleSettings;
  alarms: AlarmStore;
  batches: BatchStore;
  boards: Boards;
  boilSettings: BoilSettings;
  boils: BoilStore;
  buckets: BucketStore;
  corrections: CorrectionStore;
  credentials: Credentials;
  exports: ExportStore;
  forecast: ForecastStore;
  told: ToldStore;
  airTold: AirToldStore;
  forecastSaid: ForecastSaidStore;
  gatherings: GatheringStore;
  noticePeople: NoticePeopleStore;
  pours: PourStore;
  readings: Readings;
  rejected: RejectedStore;
  seasons: SeasonStore;
  rounds: RoundStore;
  late: LateStore;
  sessions: SessionStore;
  spools: Spools;
  sugars: SugarStore;
  taps: TapStore;
  tracks: Tracks;
  trees: TreeStore;
  viewingLinks: ViewingLinkStore;
  /** True when the program before ended without closing it; then all of it was found sound. */
  wasCutOff: boolean;
  vessels: VesselStore;
  wets: WetStore;
  close(): void;
};

/**
 * Opens the store for this program alone; after one that was cut off it is looked at page by page.
 * Throws AppError: "native-module", "storage…", "store-in-use", "database-newer".
 */
export function createStores(folder: string | ":memory:"): Stores {
  if (folder === ":memory:") return storesOver(openStore(folder), undefined);
  keepPrivate(storeFile(makeFolder(folder)));
  const lock = lockStore(folder);
  try {
    if (lock.wasCutOff) requireUndamagedFile(storeFile(folder));
    const sqlite = openStore(folder);
    lock.markOpen();
    return storesOver(sqlite, lock);
  } catch (cause) {
    lock.release(false);
    throw asStorageError(cause, storeFile(folder));
  }
}

function storesOver(sqlite: Sqlite, lock: StoreLock | undefined): Stores {
  const settings = createSettings(sqlite);
  return {
    sqlite,
    storeId: storeId(sqlite),
    settings,
    people: createPeopleSettings(settings),
    alarms: createAlarmStore(sqlite),
    batches: createBatchStore(sqlite),
    boards: createBoards(sqlite),
    boilSettings: createBoilSettings(sqlite),
    boils: createBoilStore(sqlite),
    buckets: createBucketStore(sqlite),
    corrections: createCorrectionStore(sqlite),
    credentials: createCredentials(sqlite),
    exports: createExportStore(sqlite),
    forecast: createForecastStore(sqlite),
    told: createToldStore(sqlite),
    airTold: createAirToldStore(sqlite),
    forecastSaid: createForecastSaidStore(sqlite),
    gatherings: createGatheringStore(sqlite),
    noticePeople: createNoticePeopleStore(sqlite),
    pours: createPourStore(sqlite),
    late: createLateStore(sqlite),
    readings: createReadings(sqlite),
    rejected: createRejected(sqlite),
    seasons: createSeasonStore(sqlite),
    rounds: createRoundStore(sqlite, settings),
    sessions: createSessionStore(sqlite),
    spools: createSpools(sqlite),
    sugars: createSugarStore(sqlite),
    taps: createTapStore(sqlite),
    tracks: createTracks(sqlite),
    trees: createTreeStore(sqlite),
    wasCutOff: lock?.wasCutOff ?? false,
    vessels: createVesselStore(sqlite),
    wets: createWetStore(sqlite),
    viewingLinks: createViewingLinkStore(sqlite),
    close() {
      sqlite.close();
      lock?.release(true);
    },
  };
}
