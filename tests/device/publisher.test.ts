// The publisher against a real broker: in order, bounded, and exactly once whatever is cut or restored.
import { expect, it, onTestFinished } from "vitest";
import { createOpenLink } from "../../device/mqtt-link.ts";
import { openOutbox } from "../../device/outbox.ts";
import { createPublisher } from "../../device/publisher.ts";
import { bodyOf, recordingLog, startServer, type TestServer, temporaryFolder } from "./rig.ts";

type Settings = { window?: number; patienceMs?: number; folder?: string; bounds?: object };

function startBoard(
  server: TestServer,
  { folder = temporaryFolder(), bounds, ...more }: Settings = {},
) {
  const log = recordingLog();
  const outbox = openOutbox({ folder, log, ...(bounds === undefined ? {} : { bounds }) });
  const openLink = createOpenLink({ url: server.url, board: "hill", program: "test 1" });
  const waiters = new Set<() => void>();
  const onKept = () => {
    for (const wake of waiters) wake();
  };
  const publisher = createPublisher({ board: "hill", outbox, openLink, log, onKept, ...more });
  publisher.start();
  let stopped = false;
  async function stop(): Promise<void> {
    if (stopped) return;
    stopped = true;
    await publisher.stop();
    await outbox.close();
  }
  onTestFinished(stop);
  return {
    folder,
    outbox,
    log,
    stop,
    append(from: number, through: number) {
      for (let number = from; number <= through; number += 1) outbox.append(bodyOf(number));
    },
    keptThrough(batch: number): Promise<void> {
      return new Promise((resolve) => {
        const wake = () => outbox.kept().through >= batch && resolve();
        waiters.add(wake);
        wake();
      });
    },
  };
}

/** Every batch of the spool is at the server, and is the one that was made. */
function expectExactlyOnce(server: TestServer, spool: string, through: number) {
  const own = server.kept().filter((received) => received.spool === spool);
  const batches = own.map(({ batch }) => batch).sort((a, b) => a - b);
  expect(batches).toEqual(Array.from({ length: through }, (_, at) => at + 1));
  for (const { batch, records } of own) {
    expect(records.find(({ n }) => n === "cell-1/mass")?.v).toBe(batch);
  }
}

it("sends all in order, once, and is present until it says good-bye", async () => {
  const server = await startServer();
  const board = startBoard(server);
  board.append(1, 500);
  await board.keptThrough(500);
  expect(server.all.map(({ batch }) => batch)).toEqual(
    Array.from({ length: 500 }, (_, at) => at + 1),
  );
  expectExactlyOnce(server, board.outbox.spool, 500);
  await board.stop();
  const presence = server.state.presence.map((text) => JSON.parse(text) as { online: boolean });
  expect(presence.map(({ online }) => online)).toEqual([true, false]);
});

it("has no more under way than its window while the server says nothing", async () => {
  const server = await startServer();
  server.state.mute = true;
  const board = startBoard(server, { window: 20 });
  board.append(1, 100);
  await server.until(() => server.all.length === 20);
  await board.outbox.idle();
  server.state.mute = false;
  await server.tell("hill", board.outbox.spool);
  await board.keptThrough(100);
  expect(server.all).toHaveLength(100);
});

it("ends up exactly once at the server under cut after cut of the link", async () => {
  const server = await startServer();
  const board = startBoard(server);
  for (let round = 0; round < 8; round += 1) {
    const before = server.kept().length;
    board.append(round * 100 + 1, round * 100 + 100);
    await server.until(() => server.kept().length >= before + 30);
    server.cutLinks();
  }
  await board.keptThrough(800);
  expectExactlyOnce(server, board.outbox.spool, 800);
  expect(server.state.presence.some((text) => text.includes('"online":false'))).toBe(true);
});

it("goes on after a restart of the board from what it knows", async () => {
  const server = await startServer();
  const first = startBoard(server);
  first.append(1, 50);
  await first.keptThrough(50);
  await first.stop();
  const second = startBoard(server, { folder: first.folder });
  second.append(51, 80);
  await second.keptThrough(80);
  expect(server.all).toHaveLength(80);
  expectExactlyOnce(server, first.outbox.spool, 80);
});

it("sends again from where the server is after last night's backup was restored", async () => {
  const server = await startServer();
  const board = startBoard(server);
  board.append(1, 300);
  await board.keptThrough(300);
  server.goBack(120);
  await server.tell("hill", board.outbox.spool);
  await server.until(() => server.through("hill", board.outbox.spool) === 300);
  expectExactlyOnce(server, board.outbox.spool, 300);
  expect(board.log.lines.some(({ fields }) => fields["why"] === "the server went back")).toBe(true);
});

it("sends all it still holds to another, empty store", async () => {
  const server = await startServer();
  const board = startBoard(server);
  board.append(1, 250);
  await board.keptThrough(250);
  server.goBack(0, "store-2");
  board.append(251, 251);
  await server.until(() => server.through("hill", board.outbox.spool) === 251);
  expectExactlyOnce(server, board.outbox.spool, 251);
});

it("gives up numbers that are no longer in the outbox, and says how many", async () => {
  const folder = temporaryFolder();
  const bounds = { segmentBytes: 1_000, maxBytes: 3_000 };
  const offline = openOutbox({ folder, log: recordingLog(), bounds });
  for (let number = 1; number <= 60; number += 1) {
    offline.append(bodyOf(number));
    await offline.idle();
  }
  await offline.close();
  const server = await startServer();
  const board = startBoard(server, { folder, bounds });
  await board.keptThrough(60);
  const first = server.all[0]!;
  expect(first.skipped).toBe(first.batch - 1);
  expect(first.batch).toBeGreaterThan(1);
  const given = server.kept().reduce((sum, { skipped }) => sum + skipped, 0);
  expect(given).toBeGreaterThan(20);
  expect(server.kept()).toHaveLength(60 - given);
});

it("sends again what the broker acknowledged but the server never got", async () => {
  const server = await startServer();
  server.state.deaf = true;
  const board = startBoard(server, { patienceMs: 30 });
  board.append(1, 10);
  await board.outbox.idle();
  server.state.deaf = false;
  await board.keptThrough(10);
  expectExactlyOnce(server, board.outbox.spool, 10);
});

it("does not take a note about another life of the outbox for its own", async () => {
  const server = await startServer();
  const old = startBoard(server);
  old.append(1, 40);
  await old.keptThrough(40);
  await old.stop();
  const renewed = startBoard(server);
  renewed.append(1, 15);
  await renewed.keptThrough(15);
  expectExactlyOnce(server, renewed.outbox.spool, 15);
});

it("says once that there is no broker, and connects when there is one", async () => {
  const server = await startServer();
  const log = recordingLog();
  const outbox = openOutbox({ folder: temporaryFolder(), log });
  const goodLink = createOpenLink({ url: server.url, board: "hill", program: "test 1" });
  const badLink = createOpenLink({ url: "mqtt://127.0.0.1:1", board: "hill", program: "test 1" });
  let dialled = 0;
  const publisher = createPublisher({
    board: "hill",
    outbox,
    log,
    openLink: (events) => (++dialled < 3 ? badLink : goodLink)(events),
  });
  publisher.start();
  outbox.append(bodyOf(1));
  await server.until(() => server.all.length === 1);
  expect(log.lines.map(({ event }) => event)).toEqual([
    "no link to the broker, trying again",
    "connected",
  ]);
  expect(log.lines[0]!.fields["problem"]).toContain("nothing answers at this address");
  await publisher.stop();
  await outbox.close();
});
