// The link and the chips on the real StandardFirmata machine code, over an in-memory stream.
import { expect, it, onTestFinished } from "vitest";
import { createAir } from "../../../device/air.ts";
import { createAmplifier } from "../../../device/chips/amplifier.ts";
import { createMcp9808 } from "../../../device/chips/weather-chips.ts";
import { countsOfChannel, createSoftChips, openLink, takeReady, until } from "../link/soft-rig.ts";
import { createUno, createUnoDial } from "./uno.ts";

const slow = 60_000;

async function openUno() {
  let chips: ReturnType<typeof createSoftChips> | undefined;
  const uno = createUno({
    speed: 8,
    bus: (nowMs) => {
      chips = createSoftChips(nowMs);
      return chips.bus;
    },
  });
  onTestFinished(() => uno.stop());
  const wire = createUnoDial(uno);
  const opened = openLink(wire.dial, { timeoutMs: 2_000, askMs: 1_000 });
  await opened.link.start();
  await until(opened.link.isUp);
  const amplifierOn = (channel: number) =>
    createAmplifier({ mux: opened.mux, channel, wait: uno.wait });
  const take = (amplifier: ReturnType<typeof amplifierOn>) => takeReady(amplifier, uno.wait);
  return { uno, wire, chips: chips!, ...opened, amplifierOn, take };
}

it(
  "shakes hands, reads all eight cells exactly and the air below zero",
  async () => {
    const { link, chips, amplifierOn, take } = await openUno();
    expect(link.firmware()).toBe("StandardFirmata 2.4");
    const amplifiers = [0, 1, 2, 3, 4, 5, 6, 7].map(amplifierOn);
    await Promise.all(amplifiers.map((amplifier) => amplifier.setUp()));
    for (const [channel, amplifier] of amplifiers.entries()) {
      expect(await take(amplifier)).toMatchObject({ counts: countsOfChannel(channel) });
    }
    const readTempC = createMcp9808(link.bus);
    for (const tempC of [-7.5, -0.0625, 0, 12.25]) {
      chips.air.tempC = tempC;
      expect(await readTempC()).toBe(tempC);
    }
  },
  slow,
);

it(
  "tells an absent chip from the bytes this firmware answers for it",
  async () => {
    const { link, chips, amplifierOn, take } = await openUno();
    const amplifier = amplifierOn(0);
    await amplifier.setUp();
    // The bare firmware: full length, the bytes of the chip read before.
    const before = await link.bus.read({ address: 0x18, register: 6, length: 2 });
    chips.amplifiers[0]!.set({ isThere: false });
    await expect(amplifier.take()).rejects.toMatchObject({ problem: "absent" });
    const unknown = { address: 0x48, register: 0, length: 2 };
    await expect(link.bus.read(unknown)).rejects.toMatchObject({ problem: "absent" });
    expect(before).toEqual([0x00, 0x54]);
    chips.amplifiers[0]!.set({ isThere: true });
    expect(await take(amplifier)).toMatchObject({ counts: countsOfChannel(0) });
  },
  slow,
);

it(
  "tells a lost set-up and a bridge beyond its range",
  async () => {
    const { chips, amplifierOn, take } = await openUno();
    const amplifier = amplifierOn(6);
    await amplifier.setUp();
    chips.amplifiers[6]!.loseSetUp();
    expect(await amplifier.take()).toEqual({ kind: "lost" });
    await amplifier.setUp();
    expect(await take(amplifier)).toMatchObject({ counts: countsOfChannel(6) });
    chips.amplifiers[6]!.set({ counts: () => -9e9 });
    await take(amplifier);
    expect(await take(amplifier)).toMatchObject({ counts: -8_388_608, saturated: true });
  },
  slow,
);

it(
  "opens the link anew when the bus is stuck, which resets the board",
  async () => {
    const { uno, link } = await openUno();
    uno.hang();
    await expect(link.bus.read({ address: 0x18, length: 2 })).rejects.toMatchObject({
      problem: "stuck",
    });
    expect(link.problem()).toContain("I2C bus is stuck");
    await until(link.isUp);
    expect(await createMcp9808(link.bus)()).toBe(-7.5);
  },
  slow,
);

it(
  "notices a board that was reset under the link, and lights its lamp again",
  async () => {
    const { uno, link } = await openUno();
    const lamp = link.lamp(7);
    lamp.show("on");
    await until(() => uno.pin(7) === 1);
    uno.reset();
    await until(() => link.lives() === 2);
    await until(() => uno.pin(7) === 1);
    expect(await createMcp9808(link.bus)()).toBe(-7.5);
  },
  slow,
);

it(
  "tells the supply through a divider, also after a reset",
  async () => {
    const { uno, wire, link } = await openUno();
    const supply = { analog: 2, dividedBy: 4, fullScaleV: 5 };
    const readAir = createAir(
      { thermometer: undefined, barometer: undefined, supply },
      link,
      uno.wait,
    );
    // The board is up already: it is asked with its next life.
    wire.cut();
    await until(() => link.lives() === 2);
    uno.setAnalog(2, 3.1);
    // Ten bits of 5 V, four times over: steps of 0.02 V.
    for (const volts of [3.1, 2.8]) {
      uno.setAnalog(2, volts);
      await uno.wait(3_000);
      expect(Math.abs((await readAir()).supplyV! - 4 * volts)).toBeLessThan(0.03);
    }
    uno.reset();
    await until(() => link.lives() === 3);
    uno.setAnalog(2, 3);
    await uno.wait(3_000);
    expect(Math.abs((await readAir()).supplyV! - 12)).toBeLessThan(0.03);
  },
  slow,
);

it(
  "comes back after a cut that is longer than a window",
  async () => {
    const { uno, wire, link } = await openUno();
    wire.cut(true);
    await expect(link.bus.read({ address: 0x18, length: 2 })).rejects.toMatchObject({
      problem: "down",
    });
    // Three sweeps of the board program, in the firmware's own time.
    await uno.wait(15_000);
    expect(link.isUp()).toBe(false);
    wire.cut(false);
    await until(link.isUp);
    expect(await createMcp9808(link.bus)()).toBe(-7.5);
  },
  slow,
);
