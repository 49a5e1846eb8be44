// The faults: each does its harm to a stage and puts the programs back on their feet, but mends nothing that they should.
import { chmodSync, chownSync, readdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as delay } from "node:timers/promises";
import { copyStore } from "../../server/db/copy.ts";
import { restoreStore } from "../../server/db/restore.ts";
import { spawnServer } from "../helpers/mqtt-server.ts";
import { otherUid, type Part, type Stage } from "./stage.ts";
import { tearLog, tearOutbox } from "./torn.ts";

export type Wronged = { stage: Stage; random: () => number };
/** Returns what there is to say of it. */
export type Fault = (wronged: Wronged) => Promise<string | undefined>;

/** Those that can be inflicted on this stage, by name. */
export function faultsFor({ broker, disks }: Stage): Map<string, Fault> {
  const all: Record<string, Fault> = {
    ...boardFaults,
    ...serverFaults,
    ...linkFaults,
    ...(broker === undefined ? {} : brokerFaults),
    ...(disks === undefined ? {} : diskFaults),
    ...(otherUid === undefined ? {} : userFaults),
  };
  return new Map(Object.entries(all));
}

/** After these the server is another process; what its memory does over hours can't be seen then. */
export function endsServer(name: string): boolean {
  return (
    name in serverFaults || name.startsWith("server killed") || name.startsWith("server started")
  );
}

/** Why some are left out here; empty when all are inflicted. */
export function leftOut({ disks }: Stage): string[] {
  const why: string[] = [];
  if (disks === undefined) why.push("full disks: mounting a small disk needs root");
  if (otherUid === undefined) why.push("folders of another user: a child of that user needs root");
  return why;
}

const boardFaults: Record<string, Fault> = {
  "board killed": again(({ stage }) => stage.board, "kill"),
  "board stopped": again(({ stage }) => stage.board, "stop"),
  "board killed, outbox torn": async ({ stage, random }) => {
    const { board, plan, ledger, outboxFolder } = stage;
    await board.kill();
    const torn = plan.boards.map((name) =>
      tearOutbox(join(outboxFolder, name), ledger.safeBatch(name), random),
    );
    await board.start();
    return torn.join(", ");
  },
};

const serverFaults: Record<string, Fault> = {
  "server killed": again(({ stage }) => stage.server, "kill"),
  "server stopped": again(({ stage }) => stage.server, "stop"),
  "server killed, log torn": async ({ stage, random }) => {
    await stage.server.kill();
    const torn = tearLog(stage.storeFile, random);
    await stage.server.start();
    return torn;
  },
  "older backup restored": async ({ stage, random }) => {
    const { server, storeFile, dataFolder, spareFolder } = stage;
    const file = join(spareFolder, "older.db");
    await copyStore(storeFile, file);
    await delay(between(random, 500, 3000));
    await (random() < 0.5 ? server.kill() : server.stop());
    await restoreStore({ folder: dataFolder, file, nowMs: Date.now() });
    for (const name of readdirSync(dataFolder)) {
      if (name.includes(".replaced-")) rmSync(join(dataFolder, name));
    }
    await server.start();
    return undefined;
  },
};

const linkFaults: Record<string, Fault> = {
  "link cut": async ({ stage, random }) => {
    for (const cable of stage.cables) {
      if (random() < 0.7) cable.cut();
      await delay(between(random, 10, 200));
    }
    return undefined;
  },
  "link held up": async ({ stage, random }) => {
    const cable = someOf(stage.cables, random);
    cable?.hold();
    await delay(between(random, 300, 2000));
    cable?.release();
    return undefined;
  },
  "link dead, nobody told": async ({ stage, random }) => {
    const cable = someOf(stage.cables, random);
    cable?.swallow();
    await delay(between(random, 300, 2000));
    cable?.cut();
    return undefined;
  },
};

const brokerFaults: Record<string, Fault> = {
  "broker killed": again(({ stage }) => stage.broker, "kill"),
  "broker stopped, what it keeps is there": again(({ stage }) => stage.broker, "stop"),
  "broker stopped, what it kept is lost": async ({ stage: { broker }, random }) => {
    await broker?.stop();
    broker?.forget();
    await delay(between(random, 0, 1000));
    await broker?.start();
    return undefined;
  },
};

const diskFaults: Record<string, Fault> = {
  "board's disk full": async ({ stage, random }) => {
    stage.disks?.board.shrink();
    await delay(between(random, 500, 3000));
    stage.disks?.board.grow();
    return undefined;
  },
  "board killed on a full disk": async ({ stage, random }) => {
    stage.disks?.board.shrink();
    await delay(between(random, 200, 1000));
    await stage.board.kill();
    await stage.board.start();
    await delay(between(random, 200, 1000));
    stage.disks?.board.grow();
    return undefined;
  },
  "server's disk full": async ({ stage, random }) => {
    stage.disks?.server.shrink();
    await delay(between(random, 500, 3000));
    stage.disks?.server.grow();
    return undefined;
  },
  "server killed on a full disk": async ({ stage, random }) => {
    stage.disks?.server.shrink();
    await delay(between(random, 200, 1500));
    await stage.server.kill();
    stage.disks?.server.grow();
    await stage.server.start();
    return undefined;
  },
};

const rootUid = 0;

const userFaults: Record<string, Fault> = {
  "outbox folders read-only": async ({ stage, random }) => {
    const folders = stage.plan.boards.map((name) => join(stage.outboxFolder, name));
    for (const folder of folders) setOwner(folder, { uid: rootUid, mode: 0o555 });
    await delay(between(random, 500, 3000));
    for (const folder of folders) setOwner(folder, { uid: otherUid ?? rootUid, mode: 0o755 });
    return undefined;
  },
  "server started by a user who may not write": async ({ stage }) => {
    await stage.server.kill();
    const { code, errors } = await spawnServer(stage.dataFolder, { uid: otherUid ?? rootUid })
      .ended;
    if (code !== 1) throw new Error(`such a start requires to be refused, got ${code}: ${errors}`);
    await stage.server.start();
    return errors.trim();
  },
};

function setOwner(folder: string, { uid, mode }: { uid: number; mode: number }): void {
  chownSync(folder, uid, uid);
  chmodSync(folder, mode);
}

/** Ends a part and starts it again a little later. */
function again(part: (wronged: Wronged) => Part | undefined, how: "kill" | "stop"): Fault {
  return async (wronged) => {
    const ending = part(wronged);
    await ending?.[how]();
    await delay(between(wronged.random, 0, 1500));
    await ending?.start();
    return undefined;
  };
}

function between(random: () => number, low: number, high: number): number {
  return low + random() * (high - low);
}

function someOf<T>(list: readonly T[], random: () => number): T | undefined {
  return list[Math.floor(random() * list.length)];
}
