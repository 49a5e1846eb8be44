// An Arduino Uno, executed: StandardFirmata's machine code on an emulated ATmega328P, with the soft
// chips on its I2C bus. The firmware is read from an npm package, it is not part of this project.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import {
  AVRADC,
  AVRIOPort,
  AVRTimer,
  AVRTWI,
  AVRUSART,
  adcConfig,
  avrInstruction,
  CPU,
  portBConfig,
  portCConfig,
  portDConfig,
  timer0Config,
  timer1Config,
  timer2Config,
  twiConfig,
  usart0Config,
} from "avr8js";
import type { Dial, WireEvents } from "../../../device/link/dial.ts";
import type { SoftBus } from "../../../device/link/soft-bus.ts";

const clockHz = 16_000_000;
const cyclesPerMs = clockHz / 1000;
/** How long it runs every cycle after a byte came or went; else it sleeps through most of each ms. */
const awakeCycles = 3 * cyclesPerMs;
const idleInstructions = 400;
const longestSliceMs = 4;

/** Stock StandardFirmata for the Uno, protocol 2.4: the oldest and worst-behaved. */
function readFirmware(): Uint16Array {
  const packagePath = createRequire(import.meta.url).resolve("avrgirl-arduino/package.json");
  const hex = readFileSync(
    join(dirname(packagePath), "junk/hex/uno/StandardFirmata.cpp.hex"),
    "utf8",
  );
  const bytes = new Uint8Array(32_768);
  for (const line of hex.split(/\r?\n/)) {
    const record = Buffer.from(line.slice(1), "hex");
    // Intel HEX: length, address, kind (0 = data), bytes, checksum.
    if (record[3] !== 0) continue;
    bytes.set(record.subarray(4, 4 + record[0]!), record.readUInt16BE(1));
  }
  return new Uint16Array(bytes.buffer);
}

type Chip = { adc: AVRADC; cpu: CPU; usart: AVRUSART; twi: AVRTWI; portD: AVRIOPort };

export function createUno(settings: {
  bus: (nowMs: () => number) => SoftBus;
  /** At most so many ms of the board in one of ours. */
  speed: number;
}) {
  const program = readFirmware();
  let chip: Chip | undefined;
  let beforeMs = 0;
  let heldLow = false;
  let incoming: number[] = [];
  let awakeUntil = 0;
  let send: (byte: number) => void = () => undefined;
  const analogV = [0, 0, 0, 0, 0, 0];
  const nowMs = () => beforeMs + (chip?.cpu.cycles ?? 0) / cyclesPerMs;
  const bus = settings.bus(nowMs);
  const stayAwake = () => {
    awakeUntil = (chip?.cpu.cycles ?? 0) + awakeCycles;
  };

  function reset(): void {
    beforeMs = nowMs();
    incoming = [];
    heldLow = false;
    chip = createChip(program.slice());
    chip.adc.channelValues.splice(0, analogV.length, ...analogV);
    chip.usart.onByteTransmit = (byte) => {
      stayAwake();
      send(byte);
    };
    chip.usart.onRxComplete = feed;
    attachBus(chip.twi, bus, () => heldLow);
    stayAwake();
  }
  function feed(): void {
    const [byte] = incoming;
    if (byte === undefined || chip === undefined) return;
    stayAwake();
    if (!chip.usart.rxBusy && chip.usart.writeByte(byte)) incoming.shift();
  }
  function runUntil(endMs: number): void {
    if (chip === undefined) return;
    const { cpu } = chip;
    const endCycles = (endMs - beforeMs) * cyclesPerMs;
    const stopMs = performance.now() + longestSliceMs;
    while (cpu.cycles < endCycles && performance.now() < stopMs) {
      if (incoming.length > 0) feed();
      execute(cpu);
      if (cpu.cycles > awakeUntil) sleep(cpu, endCycles);
    }
  }

  reset();
  const ticking = startTicking(settings.speed, nowMs, runUntil);
  return {
    nowMs,
    reset,
    /** Something holds the data line low: no transfer ever begins, and the firmware waits for ever. */
    hang() {
      heldLow = true;
    },
    write(bytes: Uint8Array) {
      // A hung or starting board has no more room than its hardware: what is too much is lost.
      if (incoming.length < 4096) incoming.push(...bytes);
    },
    onByte(listener: (byte: number) => void) {
      send = listener;
    },
    setAnalog(channel: number, volts: number) {
      analogV[channel] = volts;
      if (chip !== undefined) chip.adc.channelValues[channel] = volts;
    },
    /** Level of an output pin 0-7; undefined when it is no output. */
    pin: (pin: number): number | undefined => {
      const level = chip?.portD.pinState(pin);
      return level === 0 || level === 1 ? level : undefined;
    },
    /** Settles once the board has lived so much longer. */
    wait: ticking.wait,
    stop: ticking.stop,
  };
}

export type Uno = ReturnType<typeof createUno>;

function createChip(program: Uint16Array): Chip {
  const cpu = new CPU(program, 2048);
  for (const config of [timer0Config, timer1Config, timer2Config]) new AVRTimer(cpu, config);
  for (const config of [portBConfig, portCConfig]) new AVRIOPort(cpu, config);
  return {
    cpu,
    adc: new AVRADC(cpu, adcConfig),
    portD: new AVRIOPort(cpu, portDConfig),
    usart: new AVRUSART(cpu, usart0Config, clockHz),
    twi: new AVRTWI(cpu, twiConfig, clockHz),
  };
}

function attachBus(twi: AVRTWI, bus: SoftBus, isHeldLow: () => boolean): void {
  twi.eventHandler = {
    start: () => {
      if (!isHeldLow()) twi.completeStart();
    },
    stop: () => twi.completeStop(),
    connectToSlave: (address, isWrite) => twi.completeConnect(bus.begin(address, isWrite)),
    writeByte: (byte) => {
      bus.write(byte);
      twi.completeWrite(true);
    },
    readByte: () => twi.completeRead(bus.read()),
  };
}

function execute(cpu: CPU): void {
  for (let step = 0; step < idleInstructions; step += 1) {
    avrInstruction(cpu);
    cpu.tick();
  }
}

/** Straight to the next thing that happens to the processor, at most to the end. */
function sleep(cpu: CPU, endCycles: number): void {
  const next = (cpu as unknown as { nextClockEvent: { cycles: number } | null }).nextClockEvent;
  cpu.cycles = Math.max(cpu.cycles, Math.min(next?.cycles ?? endCycles, endCycles));
  cpu.tick();
}

function startTicking(speed: number, nowMs: () => number, runUntil: (endMs: number) => void) {
  const begunMs = nowMs();
  const realBegunMs = performance.now();
  let lostMs = 0;
  let stopped = false;
  const waiters = new Set<() => void>();
  const tick = (): void => {
    if (stopped) return;
    const endMs = begunMs + (performance.now() - realBegunMs - lostMs) * speed;
    runUntil(endMs);
    // What a busy computer could not give is not made up for.
    const behindMs = (endMs - nowMs()) / speed;
    if (behindMs > 0) lostMs += behindMs;
    for (const wake of waiters) wake();
    if (behindMs > 0) setImmediate(tick);
    else setTimeout(tick, 1);
  };
  tick();
  return {
    wait(forMs: number): Promise<void> {
      const untilMs = nowMs() + forMs;
      return new Promise((resolve) => {
        const wake = (): void => {
          if (nowMs() < untilMs) return;
          waiters.delete(wake);
          resolve();
        };
        waiters.add(wake);
      });
    },
    stop() {
      stopped = true;
    },
  };
}

/** An in-memory stream to the board; opening it resets the board, as DTR does on a USB port. */
export function createUnoDial(uno: Uno) {
  let wire: WireEvents | undefined;
  let pending: number[] = [];
  let refusing = false;
  uno.onByte((byte) => {
    if (pending.push(byte) > 1) return;
    const to = wire;
    setImmediate(() => {
      const bytes = Uint8Array.from(pending);
      pending = [];
      if (to === wire) to?.data(bytes);
    });
  });
  const dial: Dial = (events) => {
    let ended = false;
    const closed = (problem: string): void => {
      if (ended) return;
      ended = true;
      if (wire === mine) wire = undefined;
      events.closed(problem);
    };
    const mine = { ...events, closed };
    setImmediate(() => {
      if (refusing) closed("refused");
      if (ended) return;
      wire = mine;
      uno.reset();
      events.opened();
    });
    return {
      write: (bytes) => (wire === mine ? uno.write(bytes) : undefined),
      close: () => void setImmediate(closed, "closed"),
    };
  };
  return {
    dial,
    cut(refuse = false) {
      refusing = refuse;
      wire?.closed("cut");
    },
  };
}
