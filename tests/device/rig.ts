// What tests of the board share: folders that vanish, a quiet log, batches, and a small server to break.
import { mkdtempSync, rmSync } from "node:fs";
import { createServer, type Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Aedes } from "aedes";
import { onTestFinished } from "vitest";
import type { Log } from "../../device/log.ts";
import type { BatchBody } from "../../device/pack.ts";
import { boardTopic, boardTopicParts } from "../../shared/wire/topics.ts";

export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "brimful-board-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

export type LogLine = { level: string; event: string; fields: Record<string, unknown> };

export function recordingLog(): Log & { lines: LogLine[] } {
  const lines: LogLine[] = [];
  const at =
    (level: string) =>
    (event: string, fields: Record<string, unknown> = {}) => {
      lines.push({ level, event, fields });
    };
  return { lines, debug: at("debug"), info: at("info"), warn: at("warn"), error: at("error") };
}

const firstMs = Date.UTC(2026, 2, 1);

/** A batch that says which one it is: its mass is its number in kilograms. */
export function bodyOf(number: number): BatchBody {
  const untilMs = firstMs + number * 30_000;
  const records = [{ n: "cell-1/mass", u: "kg", t: 0, v: number }];
  return { untilMs, baseS: untilMs / 1000, records };
}

type WireRecord = { n: string; v?: number; vs?: string };
export type Received = {
  board: string;
  spool: string;
  batch: number;
  skipped: number;
  records: WireRecord[];
};

/** A broker with the least a server does: keeps each batch once, and says through which it keeps. */
export async function startServer() {
  const broker = await Aedes.createBroker();
  const sockets = new Set<Socket>();
  const tcp = createServer((socket) => {
    sockets.add(socket);
    socket.on("close", () => sockets.delete(socket));
    broker.handle(socket);
  });
  const listen = (port: number) =>
    new Promise<void>((resolve) => tcp.listen(port, "127.0.0.1", () => resolve()));
  await listen(0);
  const address = tcp.address();
  const port = typeof address === "object" && address !== null ? address.port : 0;
  const all: Received[] = [];
  let kept = new Map<string, Received>();
  let store = "store-1";
  let skippedNumbers = new Set<string>();
  const waiters = new Set<() => void>();
  const state = { deaf: false, mute: false, presence: [] as string[] };
  const key = (board: string, spool: string, batch: number) => `${board}/${spool}/${batch}`;

  function through(board: string, spool: string): number {
    let batch = 0;
    const has = (number: number) =>
      kept.has(key(board, spool, number)) || skippedNumbers.has(key(board, spool, number));
    while (has(batch + 1)) batch += 1;
    return batch;
  }
  function tell(board: string, spool: string): Promise<void> {
    if (state.mute) return Promise.resolve();
    const note = { v: 1, store, spool, through: through(board, spool) };
    return new Promise((resolve) =>
      broker.publish(
        {
          cmd: "publish",
          topic: boardTopic(board, "kept"),
          payload: JSON.stringify(note),
          qos: 1,
          retain: true,
          dup: false,
        },
        () => resolve(),
      ),
    );
  }
  function hear(topic: string, payload: string): void {
    const parts = boardTopicParts(topic);
    if (parts?.kind === "presence") state.presence.push(payload);
    if (parts?.kind !== "readings" || state.deaf) return;
    const received = receivedFrom(parts.board, payload);
    all.push(received);
    const { board, spool, batch, skipped } = received;
    if (!kept.has(key(board, spool, batch))) kept.set(key(board, spool, batch), received);
    for (let gone = batch - skipped; gone < batch; gone += 1)
      skippedNumbers.add(key(board, spool, gone));
    void tell(board, spool);
    for (const wake of waiters) wake();
  }
  broker.subscribe(
    "brimful/1/#",
    (packet, done) => {
      hear(packet.topic, packet.payload.toString());
      done();
    },
    () => undefined,
  );
  onTestFinished(async () => {
    for (const socket of sockets) socket.destroy();
    await new Promise((resolve) => broker.close(() => resolve(undefined)));
    await new Promise((resolve) => tcp.close(() => resolve(undefined)));
  });
  return {
    url: `mqtt://127.0.0.1:${port}`,
    state,
    all,
    kept: () => [...kept.values()],
    through,
    tell,
    cutLinks() {
      for (const socket of sockets) socket.destroy();
    },
    /** As after last night's backup, or with an empty store of another name. */
    goBack(toBatch: number, storeName = store) {
      kept = new Map([...kept].filter(([, { batch }]) => batch <= toBatch));
      skippedNumbers = new Set();
      store = storeName;
    },
    /** Settles as soon as this holds, looked at with each pack that comes. */
    until(holds: () => boolean): Promise<void> {
      return new Promise((resolve) => {
        const wake = () => {
          if (!holds()) return;
          waiters.delete(wake);
          resolve();
        };
        waiters.add(wake);
        wake();
      });
    },
  };
}

export type TestServer = Awaited<ReturnType<typeof startServer>>;

function receivedFrom(board: string, payload: string): Received {
  const records = JSON.parse(payload) as WireRecord[];
  const value = (name: string) => records.find(({ n }) => n === name);
  return {
    board,
    spool: value("spool")?.vs ?? "",
    batch: value("batch")?.v ?? 0,
    skipped: value("skipped")?.v ?? 0,
    records,
  };
}
