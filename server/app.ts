// Puts the server together from its parts, starts them in order and stops them in reverse.
import { hostname } from "node:os";
import type { Clock } from "../shared/clock.ts";
import { AppError } from "../shared/errors.ts";
import { alarmTopic, boardTopic } from "../shared/wire/topics.ts";
import { createBoardCheck } from "./broker/board-check.ts";
import type { Broker } from "./broker/broker.ts";
import { createEmbeddedBroker } from "./broker/embedded.ts";
import { createExternalBroker } from "./broker/external.ts";
import { createInbox } from "./broker/inbox.ts";
import { createOrderDesk, type OrderDesk } from "./broker/order-desk.ts";
import type { BackUp } from "./care/backup-program.ts";
import { type Backups, createBackups } from "./care/backups.ts";
import { type CareDesk, createCareDesk, freeBytes } from "./care/care.ts";
import { createClockSign } from "./care/clock-sign.ts";
import { createClockWatch } from "./care/clock-watch.ts";
import { openStores } from "./care/open-stores.ts";
import { type Config, doorProblems } from "./config.ts";
import { type ChangeWatch, createChangeWatch } from "./db/changed-elsewhere.ts";
import type { Stores } from "./db/stores.ts";
import type { Homie } from "./homie/homie.ts";
import { createHttpApp } from "./http/app.ts";
import { createWebServer, type WebServer } from "./http/web-server.ts";
import { type Allowance, createAllowance } from "./ingest/allowance.ts";
import { createIntake, type Intake } from "./ingest/intake.ts";
import { createLive, type Live } from "./live/live.ts";
import { createOnceAMinute, type Log } from "./log.ts";
import type { Evening } from "./notify/evening.ts";
import { createNotifier, type Notifier } from "./notify/notifier.ts";
import { createPostman, type Postman } from "./notify/postman.ts";
import { pushKeysIn } from "./notify/push-keys.ts";
import { createTeller } from "./notify/teller.ts";
import { createEveningOver, createHomieOver, homieWill, zoneOf } from "./over-watch.ts";
import { createPassphrase, type Passphrase } from "./passphrase.ts";
import { readTls, type Tls } from "./tls.ts";
import { createWatch, type Watch } from "./watch/watch.ts";

export type AppParts = {
  config: Config;
  clock: Clock;
  log: Log;
  webFolder: string;
  backUp: BackUp;
  /** Of the program. */
  version: string;
};

export type App = {
  /** Throws AppError: "config" for doors that may not be opened, "port-in-use", "storage…". */
  start(): Promise<void>;
  stop(): Promise<void>;
  httpUrl(): string;
  mqttUrl(): string;
};

type Inside = AppParts & {
  tls: Tls | undefined;
  stores: Stores;
  backups: Backups;
  care: CareDesk;
  passphrase: Passphrase;
  notifier: Notifier;
  postman: Postman;
  evening: Evening;
  watch: Watch;
  intake: Intake;
  broker: Broker;
  orders: OrderDesk;
  allowance: Allowance;
  homie: Homie | undefined;
};

/** Throws AppError "store-in-use", "storage…" with the way out, "database-newer". */
export function createApp(parts: AppParts): App {
  const { config, clock, log } = parts;
  const tls = readTls(config);
  const stores = openStores(config, log);
  const { dataFolder, backupFolder: folder } = config;
  const backups = createBackups({ ...parts, dataFolder, folder });
  const clocks = createClockWatch(clock);
  const allowance = createAllowance({ clock });
  const simulated = config.demoNowMs !== undefined;
  const { noticePeople, people } = stores;
  const pushKeys = () => pushKeysIn(stores.settings);
  const { notices } = people;
  const postman = createPostman({
    ...{ people: noticePeople, notices, pushKeys, clock, log },
    timeZone: zoneOf(config, stores),
  });
  const unreached = () => [...postman.deadChannels(), ...notifier.deadChannels()];
  const careParts = { tls, dataFolder, backups, clocks, allowance, simulated, unreached };
  const care = createCareDesk({ ...parts, ...stores, ...careParts });
  const passphrase = createPassphrase(stores.settings);
  const notifier = createNotifier({ notices, clock, log });
  const tell = (topic: string, payload: string, retain: boolean) => {
    broker.publish(topic, payload, { retain }).catch((error: unknown) => {
      log.warn("message not published", { topic, problem: String(error) });
    });
  };
  const watch = createWatchOver({ ...parts, stores, care, notifier, tell });
  const intake = createIntake({
    ...stores,
    clock,
    log,
    onCommitted: watch.committed,
    onPresence: watch.boardChanged,
    onPackTime: clocks.heard,
    ...(simulated ? {} : { isClockBelieved: createClockSign() }),
    publishKept: (board, kept) => tell(boardTopic(board, "kept"), JSON.stringify(kept), true),
  });
  const orders = createOrderDesk({
    clock,
    publish: (board, order) => tell(boardTopic(board, "orders"), JSON.stringify(order), false),
  });
  const evening = createEveningOver({ ...parts, stores, watch });
  const seen = { care, notifier, postman, evening, watch, orders, allowance };
  const broker = createBroker({ ...parts, ...seen, tls, stores, intake });
  const desks = { ...seen, homie: createHomieOver({ ...parts, broker, watch, stores }) };
  const inside = { ...parts, ...desks, tls, stores, backups, passphrase, intake, broker };
  const http = createHttp(inside);
  const changes = createChangeWatch(stores.sqlite, () => {
    broker.endRevoked();
    http.live.endShutOut();
  });
  return {
    start: () => start({ ...inside, changes }, http),
    stop: () => stop({ ...inside, changes }, http),
    httpUrl: http.web.url,
    mqttUrl: broker.url,
  };
}

function createWatchOver(
  parts: AppParts & {
    stores: Stores;
    care: CareDesk;
    notifier: Notifier;
    tell: (topic: string, payload: string, retain: boolean) => void;
  },
): Watch {
  const { config, stores, care, notifier, tell } = parts;
  const timeZone = zoneOf(config, stores);
  const teller = createTeller({ people: stores.noticePeople, timeZone });
  return createWatch({
    ...parts,
    ...stores,
    settings: stores.people.yard,
    timeZone: config.timeZone ?? null,
    simulated: config.demoNowMs !== undefined,
    freeBytes: () => freeBytes(config.dataFolder),
    care: care.situation,
    sendNotice: (notice) => {
      notifier.send({ ...notice, title: notice.text }).catch(() => undefined);
    },
    tellPeople: teller.tell,
    publishNote: (bucketId, note) =>
      tell(alarmTopic(bucketId), note === undefined ? "" : JSON.stringify(note), true),
  });
}

function createBroker(
  parts: Pick<
    Inside,
    keyof AppParts | "tls" | "stores" | "intake" | "watch" | "orders" | "allowance"
  >,
): Broker {
  const { config, clock, log, stores, intake, watch, orders, allowance } = parts;
  const inbox = createInbox({
    intake,
    clock,
    keepForecast(hours) {
      stores.forecast.put(
        hours.map(({ atMs, airC, cloudPercent }) => ({
          atMs,
          airC: airC ?? null,
          cloudPercent: cloudPercent ?? null,
        })),
      );
      watch.outlookChanged();
    },
    onAnswer: orders.answered,
  });
  const { mqttUrl } = config;
  const keptNotes = () =>
    stores.spools.listLatest().map(({ board, ...state }) => ({
      board,
      kept: { v: 1 as const, store: stores.storeId, ...state },
    }));
  if (mqttUrl !== undefined) {
    const clientId = `brimful-${stores.storeId}`;
    const will = homieWill(parts);
    const own = { inbox, clock, log, allowance, keptNotes, will };
    return createExternalBroker({ url: mqttUrl, clientId, ...own });
  }
  return createEmbeddedBroker({
    host: config.mqttHost,
    port: config.mqttPort,
    tls: parts.tls,
    credentials: stores.credentials,
    inbox,
    clock,
    log,
    allowance,
    keptNotes,
  });
}

type Http = { web: WebServer; live: Live };

function createHttp(inside: Inside): Http {
  const { config, stores, watch, passphrase, care, backups, intake } = inside;
  const web = createWebServer({ ...inside, onceAMinute: createOnceAMinute(inside.clock) });
  const side = createHttpApp({
    ...inside,
    ...stores,
    settings: stores.people,
    isTls: inside.tls !== undefined,
    care: { view: () => care.view(intake.counts()), backups },
    ...passphrase,
    pushKey: () => pushKeysIn(stores.settings).publicKey,
    areBoardsEnrolled: () => stores.credentials.countBoards() > 0,
    checkBoard: createBoardCheck(stores.credentials),
    broker: { url: inside.broker.url, isOwn: config.mqttUrl === undefined },
    hostNames: [hostname(), `${hostname()}.local`, ...config.httpNames],
    onViewersOut: () => live.endShutOut(),
    onSignedOut: (sessionHash) => live.signOut(sessionHash),
  });
  web.server.on("request", side.app);
  const { guard, signIn } = side;
  const live = createLive({ httpServer: web.server, watch, guard, signIn });
  return { web, live };
}

async function start(inside: Inside & { changes: ChangeWatch }, http: Http): Promise<void> {
  const { config, stores, passphrase, watch, broker, log } = inside;
  const doors = {
    config,
    passphraseSet: passphrase.isPassphraseSet(),
    boardsEnrolled: stores.credentials.countBoards(),
  };
  const problems = doorProblems(doors);
  if (problems.length > 0) throw new AppError("config", problems.join("\n"));
  stores.boards.setAllOffline();
  watch.start();
  await broker.start();
  watch.publishNotes();
  inside.homie?.start();
  await http.web.listen();
  http.live.start();
  inside.changes.start();
  inside.postman.start();
  inside.evening.start();
  // The demo's past is made up and its clock runs fast.
  if (config.demoNowMs === undefined) inside.backups.start();
  log.info("listening", { http: http.web.url(), mqtt: broker.url() });
}

async function stop(
  {
    backups,
    broker,
    changes,
    intake,
    watch,
    notifier,
    postman,
    evening,
    stores,
    orders,
    homie,
  }: Inside & { changes: ChangeWatch },
  http: Http,
): Promise<void> {
  changes.stop();
  backups.stop();
  orders.stop();
  await http.live.stop();
  await http.web.close();
  await homie?.stop();
  await broker.stop();
  intake.stop();
  watch.stop();
  notifier.stop();
  evening.stop();
  postman.stop();
  stores.close();
}
