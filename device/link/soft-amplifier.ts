// A model of the load-cell amplifier, written from the same register facts as the code that reads it:
// it tries the program, it doesn't prove silicon.
import { calibrate, nau7802Address, puCtrl, register } from "../chips/nau7802.ts";
import { createByteSlave, type I2cSlave } from "./soft-bus.ts";

type NowMs = () => number;

export type SoftAmplifierState = {
  isThere: boolean;
  /** Converts nothing though it is set up. */
  isDead: boolean;
  /** What the bridge would give at a time, without limit. */
  counts: (atMs: number) => number;
};

export type SoftAmplifier = {
  slave: I2cSlave;
  set(change: Partial<SoftAmplifierState>): void;
  /** As after a dip of the supply: the registers are as when it came on. */
  loseSetUp(): void;
};

const most = 2 ** 23 - 1;
const calibrationMs = 344;
const conversionMs = 100;
/** The conversions after a calibration that are off, by how much. */
const offAfterCalibration = [90_000, 9_000, 900, 90];
const working = puCtrl.digitalOn | puCtrl.analogOn | puCtrl.convert;

/** It works only after the whole set-up, in the time that takes. */
export function createSoftAmplifier(
  nowMs: NowMs,
  counts: SoftAmplifierState["counts"],
): SoftAmplifier {
  const state: SoftAmplifierState = { isThere: true, isDead: false, counts };
  const registers = new Uint8Array(0x20);
  const converter = createConverter(nowMs, state);
  let poweredMs = 0;
  let calibratedMs = Number.NEGATIVE_INFINITY;
  const has = (bits: number): boolean => ((registers[register.puCtrl] ?? 0) & bits) === bits;

  function loseSetUp(): void {
    registers.fill(0);
    registers[register.revision] = 0x0f;
    converter.stop();
  }
  function writePower(value: number): void {
    const was = registers[register.puCtrl] ?? 0;
    if (!has(puCtrl.digitalOn) && value & puCtrl.digitalOn) poweredMs = nowMs();
    registers[register.puCtrl] = value & ~(puCtrl.ready | puCtrl.dataReady);
    if (!has(working)) converter.stop();
    else if ((was & working) !== working) converter.begin(nowMs());
    if (value & puCtrl.reset) loseSetUp();
  }
  function write(to: number, value: number): void {
    if (to === register.puCtrl) writePower(value);
    else registers[to] = value;
    if (to !== register.ctrl2 || (value & calibrate) === 0) return;
    calibratedMs = nowMs() + calibrationMs;
    if (has(working)) converter.begin(calibratedMs);
  }
  function status(): number {
    const isReady = has(puCtrl.digitalOn) && nowMs() - poweredMs > 0.2;
    return (isReady ? puCtrl.ready : 0) | (converter.isFresh() ? puCtrl.dataReady : 0);
  }
  function read(from: number): number {
    const own = registers[from] ?? 0;
    if (from === register.puCtrl) return own | status();
    if (from === register.ctrl2) return nowMs() < calibratedMs ? own : own & ~calibrate;
    return converter.byte(from) ?? own;
  }
  loseSetUp();
  return {
    slave: createByteSlave({ address: nau7802Address, isThere: () => state.isThere, read, write }),
    set: (change) => void Object.assign(state, change),
    loseSetUp,
  };
}

/** Ten conversions a second from its beginning; reading the first byte takes the newest. */
function createConverter(nowMs: NowMs, state: SoftAmplifierState) {
  let begunMs: number | undefined;
  let taken = -1;
  let latched = 0;
  function newest(): number {
    if (begunMs === undefined || state.isDead) return -1;
    return Math.floor((nowMs() - begunMs) / conversionMs) - 1;
  }
  function convert(): void {
    const conversion = newest();
    if (conversion <= taken) return;
    taken = conversion;
    const off = offAfterCalibration[conversion] ?? 0;
    latched = Math.max(-most - 1, Math.min(most, Math.round(state.counts(nowMs()) + off)));
  }
  return {
    begin(atMs: number) {
      begunMs = atMs;
      taken = -1;
    },
    stop() {
      begunMs = undefined;
    },
    isFresh: () => newest() > taken,
    /** One of the three bytes of a conversion; undefined for any other register. */
    byte(from: number): number | undefined {
      const place = from - register.adc;
      if (place < 0 || place > 2) return undefined;
      if (place === 0) convert();
      return (latched >> (8 * (2 - place))) & 0xff;
    },
  };
}
