// The HTTP side on a free loopback port over a real store, with a small hand-made watch behind it.
import { createServer, request as httpRequest, type Server } from "node:http";
import type { AddressInfo, Socket } from "node:net";
import { createAlarmStore } from "../../server/db/alarms.ts";
import { createBatchStore } from "../../server/db/batches.ts";
import { createBoilSettings } from "../../server/db/boil-settings.ts";
import { createBoilStore } from "../../server/db/boils.ts";
import { createBucketStore } from "../../server/db/buckets.ts";
import { createCorrectionStore } from "../../server/db/corrections.ts";
import { createExportStore } from "../../server/db/export.ts";
import { createForecastStore } from "../../server/db/forecast.ts";
import { createGatheringStore } from "../../server/db/gatherings.ts";
import { createPeopleSettings } from "../../server/db/people-settings.ts";
import { createPourStore } from "../../server/db/pours.ts";
import { createRoundStore } from "../../server/db/rounds.ts";
import { createSeasonStore } from "../../server/db/seasons.ts";
import { createSessionStore } from "../../server/db/sessions.ts";
import { createSugarStore } from "../../server/db/sugars.ts";
import { createTapStore } from "../../server/db/taps.ts";
import { createTracks } from "../../server/db/tracks.ts";
import { createTreeStore } from "../../server/db/trees.ts";
import { createVesselStore } from "../../server/db/vessels.ts";
import { createViewingLinkStore } from "../../server/db/viewing-links.ts";
import { createHttpApp } from "../../server/http/app.ts";
import type { HttpParts } from "../../server/http/parts.ts";
import type { Answer } from "../../server/notify/notifier.ts";
import { noRuns } from "../../server/watch/tapping.ts";
import type { Watch } from "../../server/watch/watch.ts";
import type { BucketView, YardView } from "../../shared/wire/api.ts";
import type { YardChange } from "../../shared/wire/live.ts";
import type { NextRound } from "../../shared/wire/rounds.ts";
import { createHandCare } from "./hand-care.ts";
import { createAsking } from "./http-asking.ts";
import { noticePartsOf } from "./notice-parts.ts";
import { openRig, type Rig, startMs } from "./store-rig.ts";

export const passphrase = "sugar moon over the hill";

export function bucketView(id: string, over: Partial<BucketView> = {}): BucketView {
  return {
    id,
    label: id,
    role: "sap",
    tree: null,
    tapIds: [],
    cell: null,
    capacityL: 15,
    emptyKg: 0.9,
    sunShare: 1,
    washedMs: null,
    massKg: 8.1,
    volumeL: 7.1,
    fullFraction: 0.47,
    flowLPerH: 0.4,
    flowLowLPerH: 0.3,
    flowHighLPerH: 0.5,
    wet: { falling: null, fallingLPerH: null, rainL: 0, lidSnowKg: 0 },
    todayL: 2.5,
    state: "running",
    lastReadingMs: startMs,
    brim: null,
    outlook: null,
    keeping: null,
    keepingMissing: "no air temperature",
    isDatedAhead: false,
    laidOn: null,
    contradiction: null,
    alarms: [],
    ...over,
  };
}

/** A watch that shows what is put into `view` and notes how it was called. */
export function createHandWatch(rig: Rig, alarms: ReturnType<typeof createAlarmStore>) {
  const settings = createPeopleSettings(rig.settings);
  const listeners = new Set<(change: YardChange) => void>();
  const calls: unknown[][] = [];
  const view = {
    season: { year: 2026, firstReadingMs: startMs - 1000 } as YardView["season"],
    boards: [] as YardView["boards"],
    vessels: [] as YardView["vessels"],
    buckets: [] as BucketView[],
    nextRound: {
      nowMs: startMs,
      carryKg: 16,
      trips: [],
      left: [{ bucketId: "gate", volumeL: 0.1, why: "next to nothing in it" }],
      minutes: 12,
      volumeL: 0,
      vessel: null,
      guessedDistances: false,
      exact: true,
      dueIds: [],
      noRoomIds: [],
    } as NextRound,
  };
  let pausedUntilMs: number | undefined;
  const watch: Watch = {
    yardView: () => ({
      nowMs: rig.clock.nowMs(),
      season: view.season,
      yard: {
        ...settings.yard(),
        simulated: false,
        clockSpeed: 1,
        pausedUntilMs: pausedUntilMs ?? null,
      },
      boards: view.boards,
      buckets: view.buckets,
      vessels: view.vessels,
      alarms: [],
      doNow: { sentence: "Nothing to do.", parts: [] },
    }),
    curve: (bucketId, span) => {
      calls.push(["curve", bucketId, span]);
      const column = [null, 1.5];
      return {
        stepMs: span.stepMs ?? 600_000,
        atMs: [span.fromMs, span.toMs],
        massKg: column,
        volumeL: column,
        flowLPerH: column,
        lowLPerH: column,
        highLPerH: column,
        airC: column,
        events: [],
      };
    },
    record: () => ({
      sinceMs: startMs,
      warnings: {
        useful: 3,
        late: 0,
        false: 1,
        expected: 1.2,
        open: 1,
        untold: 0,
        afterwards: 0,
        overflows: 2,
        missed: 1,
      },
      reliability: [{ aheadH: 12, count: 5, wentOver: 1, bins: [] }],
      inflow: { count: 4, within: 3, expectedShare: 0.8 },
      fills: { count: 2, within: 2, expectedShare: 0.9, medianErrorShare: 0.01 },
    }),
    seasonHints: () => ({
      probability: 0.2,
      frostThawDays: 12,
      hints: [{ kind: "buds", sure: "weak", text: "buds may be swelling" }],
    }),
    compare: (span) => ({ ...span, trees: [] }),
    ahead: () => ({ atMs: [startMs], lowL: [1.5], midL: [1.5], highL: [1.5] }),
    treeCurves: ({ fromMs }) => ({ stepMs: 600_000, atMs: [fromMs], airC: [null], trees: [] }),
    afterThaw: () => ({ hours: [-2, 0], trees: [] }),
    comingRuns: () => noRuns("none"),
    committed: () => undefined,
    boardChanged: (board) => void calls.push(["boardChanged", board]),
    recordsChanged: (change) => calls.push(["recordsChanged", change]),
    pause: (untilMs) => {
      pausedUntilMs = untilMs;
    },
    markSeen: (id) => alarms.markSeen(id, rig.clock.nowMs()),
    onChange: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    previewCorrection: ({ counted }) =>
      Promise.resolve({
        readings: counted.readings,
        withoutCounts: counted.withoutCounts,
        newest: { atMs: startMs, beforeKg: 7.3, afterKg: 7.2 },
        buckets: [
          {
            bucketId: "gate",
            beforeL: 2,
            afterL: 1.9,
            days: [{ day: "2026-03-14", beforeL: 2, afterL: 1.9 }],
          },
        ],
      }),
    cellCorrected: (correction) => calls.push(["cellCorrected", correction]),
    vesselsChanged: () => calls.push(["vesselsChanged"]),
    vesselLines: () => [],
    nextRound: () => view.nextRound,
    publishNotes: () => calls.push(["publishNotes"]),
    outlookChanged: () => calls.push(["outlookChanged"]),
    ...{ settled: () => Promise.resolve(), start: () => undefined },
    stop: () => undefined,
  };
  const change = (what: YardChange) => {
    for (const listener of listeners) listener(what);
  };
  const orders: HttpParts["orders"] = {
    give: (board, post) => {
      calls.push(["order", board, post]);
      const text = `Board ${board} has done it.`;
      return Promise.resolve({ answered: true, done: true, text, calibration: null });
    },
  };
  return { watch, view, calls, change, listeners, orders };
}

export type HttpRigOptions = Partial<HttpParts> & { hasPassphrase?: boolean };

export async function openHttpRig({ hasPassphrase = false, ...over }: HttpRigOptions = {}) {
  const rig = openRig();
  const alarms = createAlarmStore(rig.sqlite);
  const hand = createHandWatch(rig, alarms);
  const answers: Answer[] = [];
  const settings = createPeopleSettings(rig.settings);
  const parts: HttpParts = {
    ...rig,
    ...noticePartsOf(rig, settings),
    care: createHandCare(rig),
    viewingLinks: createViewingLinkStore(rig.sqlite),
    watch: hand.watch,
    trees: createTreeStore(rig.sqlite),
    taps: createTapStore(rig.sqlite),
    buckets: createBucketStore(rig.sqlite),
    gatherings: createGatheringStore(rig.sqlite),
    vessels: createVesselStore(rig.sqlite),
    pours: createPourStore(rig.sqlite),
    rounds: createRoundStore(rig.sqlite, rig.settings),
    sugars: createSugarStore(rig.sqlite),
    alarms,
    orders: hand.orders,
    corrections: createCorrectionStore(rig.sqlite),
    boils: createBoilStore(rig.sqlite),
    batches: createBatchStore(rig.sqlite),
    boilSettings: createBoilSettings(rig.sqlite),
    seasons: createSeasonStore(rig.sqlite),
    tracks: createTracks(rig.sqlite),
    forecast: createForecastStore(rig.sqlite),
    sessions: createSessionStore(rig.sqlite),
    settings,
    exports: createExportStore(rig.sqlite),
    notifier: { test: () => Promise.resolve(answers), lastAnswers: () => answers },
    isPassphraseSet: () => hasPassphrase,
    checkPassphrase: (text) => Promise.resolve(text === passphrase),
    areBoardsEnrolled: () => false,
    broker: { url: () => "mqtt://127.0.0.1:1883", isOwn: true },
    checkBoard: (board, secret) => board === "hill" && secret === "hill secret: ü",
    hostNames: ["sugarhouse"],
    allowance: { take: () => 0, leftOut: () => 0 },
    webFolder: "/nowhere/web",
    wrongPassphraseDelayMs: 1,
    ...over,
  };
  const side = createHttpApp(parts);
  const server = createServer(side.app);
  const sockets = new Set<Socket>();
  server.on("connection", (socket) => sockets.add(socket));
  const port = await listen(server);
  const url = `http://127.0.0.1:${port}`;
  return {
    rig,
    parts,
    ...hand,
    ...side,
    answers,
    server,
    /** Every connection that was ever made. */
    sockets,
    port,
    url,
    ...createAsking(url),
    async close() {
      server.closeAllConnections();
      for (const socket of sockets) socket.destroy();
      await new Promise((resolve) => server.close(resolve));
      rig.intake.stop();
      rig.sqlite.close();
    },
  };
}

export type HttpRig = Awaited<ReturnType<typeof openHttpRig>>;

export function listen(server: Server): Promise<number> {
  return new Promise((resolve) => {
    server.listen(0, "127.0.0.1", () => resolve((server.address() as AddressInfo).port));
  });
}

/** A request with headers that fetch won't send, such as another Host. */
export function rawRequest(
  url: string,
  options: { method?: string; headers?: Record<string, string> },
): Promise<{ status: number; text: string }> {
  return new Promise((resolve, reject) => {
    const sent = httpRequest(url, options, async (response) => {
      const chunks: Buffer[] = [];
      for await (const chunk of response) chunks.push(chunk as Buffer);
      resolve({ status: response.statusCode ?? 0, text: Buffer.concat(chunks).toString() });
    });
    sent.on("error", reject);
    sent.end();
  });
}
