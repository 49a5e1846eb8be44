// Lets one call in a row fail, at the edge of the program: of the file system, or of the database's driver.
import fs from "node:fs";
import { syncBuiltinESMExports } from "node:module";
import type { Sqlite } from "../../server/db/sqlite.ts";

export type Failing = {
  /** From now on the call of this number fails, once; counted from 1. */
  arm(number: number): void;
  /** Nothing fails any more; the call that failed, undefined when there were fewer. */
  disarm(): string | undefined;
  /** Looks at something while nothing fails, and without counting. */
  aside<T>(look: () => T): T;
  /** Everything as it was. */
  restore(): void;
};

type Callable = (...args: unknown[]) => unknown;
type Table = Record<string, Callable>;

function createCountdown(failure: (call: string) => Error) {
  let left = Number.POSITIVE_INFINITY;
  let failed: string | undefined;
  let isAside = false;
  return {
    aside<T>(look: () => T): T {
      isAside = true;
      try {
        return look();
      } finally {
        isAside = false;
      }
    },
    pass(call: string): void {
      if (isAside) return;
      left -= 1;
      if (left !== 0) return;
      failed = call;
      throw failure(call);
    },
    arm(number: number): void {
      left = number;
      failed = undefined;
    },
    disarm(): string | undefined {
      left = Number.POSITIVE_INFINITY;
      return failed;
    },
  };
}

function errorOf(code: string, text: string): Error {
  return Object.assign(new Error(`${code}: ${text}`), { code });
}

/** Replaces functions of a table by ones that may fail before they do anything; returns the way back. */
function wrap(table: Table, names: readonly string[], pass: (name: string) => void): () => void {
  const real = names.map((name): [string, Callable] => {
    const known = table[name];
    if (known === undefined) throw new Error(`no function ${name} to let fail`);
    return [name, known];
  });
  for (const [name, call] of real) {
    table[name] = function failing(this: unknown, ...args: unknown[]) {
      pass(name);
      return call.apply(this, args);
    };
  }
  return () => {
    for (const [name, call] of real) table[name] = call;
  };
}

const syncCalls = [
  ...["openSync", "writeSync", "fsyncSync", "renameSync", "unlinkSync", "linkSync", "mkdirSync"],
  ...["readdirSync", "readFileSync", "readSync", "writeFileSync", "chmodSync"],
];
const promisedCalls = ["open", "writeFile", "rename"];
const handleCalls = ["write", "truncate", "datasync"];

/** Every call of this process that touches a disk; reading modules is none of them. */
export async function createFailingFiles(code = "EIO"): Promise<Failing> {
  const { pass, ...countdown } = createCountdown((call) =>
    errorOf(code, `${call} failed for once`),
  );
  const handle = await fs.promises.open("/dev/null");
  const handles = Object.getPrototypeOf(handle) as Table;
  await handle.close();
  const undo = [
    wrap(fs as unknown as Table, syncCalls, pass),
    wrap(fs.promises as unknown as Table, promisedCalls, (name) => pass(`promises.${name}`)),
    wrap(handles, handleCalls, (name) => pass(`handle.${name}`)),
  ];
  syncBuiltinESMExports();
  return {
    ...countdown,
    restore() {
      for (const back of undo) back();
      syncBuiltinESMExports();
    },
  };
}

/** Every statement that is run, those that begin and end transactions among them. */
export function createFailingSql(sqlite: Sqlite, code = "SQLITE_FULL"): Failing {
  const statements = Object.getPrototypeOf(sqlite.prepare("SELECT 1")) as Table;
  const { pass, ...countdown } = createCountdown((call) =>
    errorOf(code, `${call} failed for once`),
  );
  return { ...countdown, restore: wrap(statements, ["run", "get", "all"], pass) };
}

/** All rows of all tables as one text; two stores that hold the same give the same. */
export function contentOf(sqlite: Sqlite): string {
  const tables = sqlite
    .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name")
    .pluck()
    .all() as string[];
  const rows = tables.map((table) => {
    const all = sqlite.prepare(`SELECT * FROM "${table}"`).all();
    return [table, all.filter((row) => (row as { name?: unknown }).name !== "store")];
  });
  return JSON.stringify(rows);
}
