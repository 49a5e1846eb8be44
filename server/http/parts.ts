// What the HTTP side is handed: each part no wider than what is used of it.
import type { Clock } from "../../shared/clock.ts";
import type { Care } from "../../shared/wire/care.ts";
import type { OrderDesk } from "../broker/order-desk.ts";
import type { Backups } from "../care/backups.ts";
import type { AlarmStore } from "../db/alarms.ts";
import type { BatchStore } from "../db/batches.ts";
import type { Boards } from "../db/boards.ts";
import type { BoilSettings } from "../db/boil-settings.ts";
import type { BoilStore } from "../db/boils.ts";
import type { BucketStore } from "../db/buckets.ts";
import type { CorrectionStore } from "../db/corrections.ts";
import type { ExportStore } from "../db/export.ts";
import type { ForecastStore } from "../db/forecast.ts";
import type { GatheringStore } from "../db/gatherings.ts";
import type { NoticePeopleStore } from "../db/notice-people.ts";
import type { PeopleSettings } from "../db/people-settings.ts";
import type { PourStore } from "../db/pours.ts";
import type { Readings } from "../db/readings.ts";
import type { RoundStore } from "../db/rounds.ts";
import type { SeasonStore } from "../db/seasons.ts";
import type { SessionStore } from "../db/sessions.ts";
import type { Sqlite } from "../db/sqlite.ts";
import type { SugarStore } from "../db/sugars.ts";
import type { TapStore } from "../db/taps.ts";
import type { Tracks } from "../db/tracks.ts";
import type { TreeStore } from "../db/trees.ts";
import type { VesselStore } from "../db/vessels.ts";
import type { ViewingLinkStore } from "../db/viewing-links.ts";
import type { Allowance } from "../ingest/allowance.ts";
import type { Intake } from "../ingest/intake.ts";
import type { Log } from "../log.ts";
import type { Notifier } from "../notify/notifier.ts";
import type { Postman } from "../notify/postman.ts";
import type { Watch } from "../watch/watch.ts";

export type HttpParts = {
  care: { view(): Care; backups: Pick<Backups, "backUpNow" | "lookAgain" | "state" | "takeAway"> };
  clock: Clock;
  log: Pick<Log, "warn" | "error">;
  watch: Watch;
  sqlite: Sqlite;
  trees: TreeStore;
  taps: TapStore;
  buckets: BucketStore;
  gatherings: GatheringStore;
  vessels: VesselStore;
  pours: PourStore;
  rounds: RoundStore;
  sugars: SugarStore;
  alarms: AlarmStore;
  boards: Pick<Boards, "listBoards" | "listProbes" | "findCell" | "putAway">;
  orders: Pick<OrderDesk, "give">;
  corrections: CorrectionStore;
  boils: BoilStore;
  batches: BatchStore;
  boilSettings: BoilSettings;
  seasons: SeasonStore;
  readings: Pick<Readings, "latestValue" | "listTemperatures">;
  tracks: Pick<Tracks, "listDays">;
  forecast: ForecastStore;
  sessions: SessionStore;
  settings: PeopleSettings;
  exports: ExportStore;
  notifier: Pick<Notifier, "test" | "lastAnswers">;
  noticePeople: NoticePeopleStore;
  postman: Pick<Postman, "test" | "states">;
  /** The public one, for browsers. */
  pushKey(): string;
  isPassphraseSet(): boolean;
  checkPassphrase(text: string): Promise<boolean>;
  /** True when at least one board has a secret: then every board needs one. */
  areBoardsEnrolled(): boolean;
  broker: { url(): string; isOwn: boolean };
  checkBoard(board: string, secret: string): boolean | Promise<boolean>;
  allowance: Pick<Allowance, "take" | "leftOut">;
  intake: Pick<Intake, "accept" | "counts">;
  /** Names this machine answers to beside localhost and addresses: its own, and any that are set. */
  hostNames: string[];
  /** The built page; a folder that isn't there is answered with how to build it. */
  webFolder: string;
  /** How long a wrong passphrase is kept waiting. */
  wrongPassphraseDelayMs?: number;
  /** Whether the server itself speaks TLS. */
  isTls?: boolean;
  viewingLinks: ViewingLinkStore;
  /** Called when a viewing link was revoked: its sessions have ended. */
  onViewersOut?(): void;
  /** Called with the hash of a session that was ended. */
  onSignedOut?(sessionHash: string): void;
};
