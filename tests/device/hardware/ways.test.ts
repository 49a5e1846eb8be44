// The real firmware over TCP, and over a serial port that is a pseudo-terminal made by socat.
import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { join } from "node:path";
import { expect, it, onTestFinished } from "vitest";
import { createAmplifier } from "../../../device/chips/amplifier.ts";
import { createMcp9808 } from "../../../device/chips/weather-chips.ts";
import type { Dial } from "../../../device/link/dial.ts";
import { createSerialDial } from "../../../device/link/serial.ts";
import { createTcpDial } from "../../../device/link/tcp.ts";
import { countsOfChannel, createSoftChips, openLink, takeReady, until } from "../link/soft-rig.ts";
import { temporaryFolder } from "../rig.ts";
import { serveUno } from "./uno-rig.ts";

const slow = 90_000;
const bus = (nowMs: () => number) => createSoftChips(nowMs).bus;

async function open(dial: Dial, wait: (forMs: number) => Promise<void>) {
  const opened = openLink(dial, { timeoutMs: 2_000, askMs: 500 });
  await opened.link.start();
  await until(opened.link.isUp, 40_000);
  const amplifier = createAmplifier({ mux: opened.mux, channel: 6, wait });
  await amplifier.setUp();
  expect(await takeReady(amplifier, wait)).toMatchObject({ counts: countsOfChannel(6) });
  expect(await createMcp9808(opened.link.bus)()).toBe(-7.5);
  return opened;
}

it(
  "reads over TCP a board that started long ago, and again after a cut",
  async () => {
    const { uno, port, cut, stop } = await serveUno({ bus, speed: 8, resets: false });
    onTestFinished(stop);
    await uno.wait(5_000);
    const { link } = await open(createTcpDial({ host: "127.0.0.1", port }), uno.wait);
    cut();
    await until(() => link.lives() === 2, 40_000);
    expect(await createMcp9808(link.bus)()).toBe(-7.5);
  },
  slow,
);

it(
  "says on the network that a stuck board needs its power cycled, as it hangs again and again",
  async () => {
    const { uno, port, stop } = await serveUno({ bus, speed: 8, resets: false });
    onTestFinished(stop);
    const { link } = await open(createTcpDial({ host: "127.0.0.1", port }), uno.wait);
    uno.hang();
    await expect(link.bus.read({ address: 0x18, length: 2 })).rejects.toMatchObject({
      problem: "stuck",
    });
    await until(() => link.problem()?.includes("switch it off and on") === true, 40_000);
    uno.reset();
    await until(link.isUp, 40_000);
    expect(await createMcp9808(link.bus)()).toBe(-7.5);
  },
  slow,
);

const hasSocat = spawnSync("socat", ["-V"]).status === 0;

/** A serial port that leads to the board; opening it anew connects, and so resets, anew. */
function makePort(port: number): string {
  const path = join(temporaryFolder(), "tty");
  let child: ChildProcess | undefined;
  let done = false;
  const run = (): void => {
    if (done) return;
    child = spawn("socat", [`PTY,link=${path},rawer,wait-slave`, `TCP:127.0.0.1:${port}`]);
    child.once("exit", run);
  };
  run();
  onTestFinished(() => {
    done = true;
    child?.kill();
  });
  return path;
}

it.skipIf(!hasSocat)(
  "reads over a serial port, and re-opens it to reset a board whose bus is stuck",
  async () => {
    const { uno, port, stop } = await serveUno({ bus, speed: 8, resets: true });
    onTestFinished(stop);
    const path = makePort(port);
    await until(() => existsSync(path));
    const { link } = await open(createSerialDial(path), uno.wait);
    expect(link.firmware()).toBe("StandardFirmata 2.4");
    uno.hang();
    await expect(link.bus.read({ address: 0x18, length: 2 })).rejects.toMatchObject({
      problem: "stuck",
    });
    await until(link.isUp, 40_000);
    expect(await createMcp9808(link.bus)()).toBe(-7.5);
  },
  slow,
);

it("says why a port can't be opened, and goes on trying", async () => {
  const { link } = openLink(createSerialDial("/nowhere/tty"));
  await link.start();
  await until(() => link.problem()?.includes("No such file") === true);
  expect(link.isUp()).toBe(false);
});
