// Brings one NAU7802 behind the multiplexer to converting, and reads its conversions.
import { I2cError } from "./i2c-bus.ts";
import * as chip from "./nau7802.ts";
import type { Mux } from "./tca9548a.ts";

type Bus = Parameters<Parameters<Mux["on"]>[1]>[0];

/**
 * ready: a fresh conversion. waiting: none yet. lost: the chip forgot its set-up, as after a dip of
 * its supply. The counts of a saturated bridge are at the end of the range.
 */
export type Conversion =
  | { kind: "ready"; counts: number; saturated: boolean }
  | { kind: "waiting" }
  | { kind: "lost" };

export type Amplifier = {
  /** Takes about two seconds. Throws I2cError; "silent" when the chip is there but will not work. */
  setUp(): Promise<void>;
  /** Throws I2cError. */
  take(): Promise<Conversion>;
};

export type AmplifierSettings = {
  mux: Mux;
  channel: number;
  wait: (forMs: number) => Promise<void>;
};

/** The regulator needs 250 ms with the Linux driver, 600 ms with another. */
const settleMs = 600;
const calibrationMs = 350;
/** Linux drops six conversions after a change of input; the first ones are off. */
const dropped = 6;
const conversionMs = 100;
const address = chip.nau7802Address;
const { register: at, puCtrl: pu } = chip;

export function createAmplifier({ mux, channel, wait }: AmplifierSettings): Amplifier {
  const name = `amplifier on branch ${channel}`;
  const set = (to: number, value: number) =>
    mux.on(channel, (bus) => bus.write(address, [to, value]));
  const get = (from: number) => mux.on(channel, (bus) => readByte(bus, from));

  async function until(holds: () => Promise<boolean>): Promise<void> {
    for (let tries = 0; tries < 10; tries += 1) {
      if (await holds()) return;
      await wait(conversionMs);
    }
    throw new I2cError("silent", name);
  }

  /** Written and read back, as a write is never acknowledged. */
  async function setSure(to: number, value: number): Promise<void> {
    await set(to, value);
    if ((await get(to)) !== value) throw new I2cError("silent", name);
  }

  return {
    async setUp() {
      const revision = await get(at.revision);
      if ((revision & 0x0f) !== chip.revisionNibble) throw new I2cError("absent", name);
      await set(at.puCtrl, pu.reset);
      await wait(2);
      await set(at.puCtrl, pu.digitalOn | pu.analogOn);
      await until(async () => ((await get(at.puCtrl)) & pu.ready) !== 0);
      await set(at.puCtrl, pu.digitalOn | pu.analogOn | pu.ownSupply);
      await setSure(at.ctrl1, chip.ctrl1);
      await setSure(at.ctrl2, chip.ctrl2);
      await set(at.chopper, chip.chopperOff);
      await set(at.power, chip.capacitorOn);
      await wait(settleMs);
      await set(at.puCtrl, chip.workingBits);
      await set(at.ctrl2, chip.ctrl2 | chip.calibrate);
      await wait(calibrationMs);
      await until(async () => ((await get(at.ctrl2)) & chip.calibrate) === 0);
      if ((await get(at.ctrl2)) & chip.calibrationFailed) throw new I2cError("silent", name);
      for (let conversion = 0; conversion < dropped; conversion += 1) {
        await until(async () => ((await get(at.puCtrl)) & pu.dataReady) !== 0);
        await mux.on(channel, readCounts);
      }
    },
    take: () =>
      mux.on(channel, async (bus): Promise<Conversion> => {
        const state = await readByte(bus, at.puCtrl);
        if ((state & chip.workingBits) !== chip.workingBits) return { kind: "lost" };
        if ((state & pu.dataReady) === 0) return { kind: "waiting" };
        const counts = await readCounts(bus);
        return { kind: "ready", counts, saturated: chip.isSaturated(counts) };
      }),
  };
}

async function readByte(bus: Bus, register: number): Promise<number> {
  const [value = 0] = await bus.read({ address, register, length: 1 });
  return value;
}

async function readCounts(bus: Bus): Promise<number> {
  return chip.countsFromBytes(await bus.read({ address, register: at.adc, length: 3 }));
}
