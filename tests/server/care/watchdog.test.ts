// Tests that systemd is told through its own program, and that the service file asks for little.
import { execFileSync, spawn, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it } from "vitest";
import { createWatchdog } from "../../../server/care/watchdog.ts";
import { createTestLog } from "../../helpers/store-rig.ts";

const service = new URL("../../../server/brimful.service", import.meta.url).pathname;
const has = (program: string) => spawnSync("which", [program]).status === 0;

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "brimful-watchdog-"));
});
afterEach(() => rmSync(folder, { recursive: true }));

it("says that it is ready, and again and again that it lives, until it is stopped", async (context) => {
  if (!has("systemd-notify")) return context.skip("not proved here: systemd-notify is absent");
  const socket = join(folder, "notify");
  const listener = spawn("socat", ["-u", `UNIX-RECV:${socket}`, "STDOUT"]);
  let heard = "";
  listener.stdout.on("data", (bytes: Buffer) => {
    heard += bytes.toString();
  });
  await expect.poll(() => spawnSync("test", ["-S", socket]).status).toBe(0);
  const log = createTestLog();
  const watchdog = createWatchdog({ notifySocket: socket, watchdogUsec: "300000", log });
  watchdog.start();
  const patient = { timeout: 15_000 };
  await expect.poll(() => heard.split("WATCHDOG=1").length, patient).toBeGreaterThanOrEqual(4);
  expect(heard).toContain("READY=1");
  watchdog.stop();
  listener.kill();
  expect(log.lines).toEqual([]);
});

it("says nothing where systemd isn't asking", () => {
  const log = createTestLog();
  const quiet = createWatchdog({ notifySocket: undefined, watchdogUsec: undefined, log });
  quiet.start();
  quiet.stop();
  expect(log.lines).toEqual([]);
});

it("systemd finds no fault in the service file", (context) => {
  if (!has("systemd-analyze")) return context.skip("not proved here: systemd-analyze is absent");
  // The program itself need not be installed where the tests run.
  const unit = join(folder, "brimful.service");
  const text = readFileSync(service, "utf8").replace(/^ExecStart=.*$/m, "ExecStart=/bin/true");
  writeFileSync(unit, text);
  const { status, stderr } = spawnSync("systemd-analyze", ["verify", unit], { encoding: "utf8" });
  const faults = stderr.split("\n").filter((line) => line.includes(unit));
  expect(faults).toEqual([]);
  expect(status).toBe(0);
});

it("by systemd's own count the service is exposed little: below 2 of 10", (context) => {
  if (!has("systemd-analyze")) return context.skip("not proved here: systemd-analyze is absent");
  const args = ["security", "--offline=yes", "--no-pager", service];
  const report = execFileSync("systemd-analyze", args, { encoding: "utf8" });
  const exposure = Number(/exposure level for .*: ([\d.]+)/.exec(report)?.[1]);
  expect(exposure).toBeGreaterThan(0);
  expect(exposure).toBeLessThan(2);
});
