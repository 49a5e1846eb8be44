// One program to a board's folder: the second is told, one that was killed is no hindrance.
import { spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it, onTestFinished } from "vitest";
import { lockFolder } from "../../device/folder-lock.ts";
import { open } from "./outbox-rig.ts";
import { temporaryFolder } from "./rig.ts";

const slow = 30_000;

/** Another process that holds the folder until it is killed. */
async function startHolder(folder: string) {
  const program = new URL("../../device/folder-lock.ts", import.meta.url).href;
  const script = `import { lockFolder } from ${JSON.stringify(program)};
    lockFolder(${JSON.stringify(folder)}); console.log("held"); setInterval(() => {}, 1000);`;
  const args = ["--import", "tsx", "--input-type=module", "-e", script];
  const child = spawn(process.execPath, args, { stdio: ["ignore", "pipe", "inherit"] });
  onTestFinished(() => void child.kill("SIGKILL"));
  await once(child.stdout, "data");
  return child;
}

it(
  "refuses an outbox that another process uses, in one clear line, until that one is gone",
  async () => {
    const folder = temporaryFolder();
    const holder = await startHolder(folder);
    expect(() => open(folder)).toThrow(
      new RegExp(
        `^the folder ${folder} requires one program at a time, got a second: process ${holder.pid} uses it`,
      ),
    );
    const ended = once(holder, "exit");
    holder.kill("SIGKILL");
    await ended;
    const outbox = open(folder);
    await outbox.close();
    expect(existsSync(join(folder, "running.json"))).toBe(false);
  },
  slow,
);

it("does not take a later process of the same number for the one that held it", () => {
  const folder = temporaryFolder();
  const path = join(folder, "running.json");
  // Process 1 lives on every machine, but began at another time than this says.
  writeFileSync(path, JSON.stringify({ v: 1, pid: 1, began: "another-boot 12345" }));
  const lock = lockFolder(folder);
  expect(JSON.parse(readFileSync(path, "utf8"))).toMatchObject({ pid: process.pid });
  lock.release();
  lock.release();
  expect(existsSync(path)).toBe(false);
});

it("goes on after a lock that a power cut has torn", () => {
  const folder = temporaryFolder();
  writeFileSync(join(folder, "running.json"), '{"v":1,"pi');
  expect(() => lockFolder(folder).release()).not.toThrow();
});
