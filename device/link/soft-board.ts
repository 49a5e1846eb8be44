// A board without a board: speaks Firmata on the wire (protocol 2.4, as an old Uno does) before a
// soft I2C bus. Firmata protocol: github.com/firmata/protocol, protocol.md and i2c.md.
import type { Dial, WireEvents } from "./dial.ts";
import type { SoftBus } from "./soft-bus.ts";

export type SoftBoard = {
  /** Opening it resets the board, as DTR does on a USB port. */
  dial: Dial;
  /** Resets the board under a live link. */
  reset(): void;
  /** Its I2C bus is held low: it answers nothing any more until it is reset. */
  hang(): void;
  /** Ends the link; with `refuse` no new one opens until it is called without. */
  cut(refuse?: boolean): void;
  /** Level of an output pin, 0 or 1; undefined when the pin is no output. */
  pin(pin: number): number | undefined;
};

export function createSoftBoard(bus: SoftBus): SoftBoard {
  let wire: WireEvents | undefined;
  let refusing = false;
  let hangs = false;
  const firmware = createSoftFirmware(bus, (bytes) => {
    const to = wire;
    setImmediate(() => {
      if (to === wire && !hangs) to?.data(Uint8Array.from(bytes));
    });
  });
  function reset(): void {
    hangs = false;
    firmware.boot();
  }
  return {
    dial(events) {
      let ended = false;
      const closed = (problem: string): void => {
        if (ended) return;
        ended = true;
        if (wire === mine) wire = undefined;
        events.closed(problem);
      };
      const mine: WireEvents = { ...events, closed };
      setImmediate(() => {
        if (refusing) closed("refused");
        if (ended) return;
        wire = mine;
        events.opened();
        reset();
      });
      return {
        write(bytes) {
          if (wire === mine && !hangs) for (const byte of bytes) firmware.hear(byte);
        },
        close: () => void setImmediate(closed, "closed"),
      };
    },
    reset,
    hang() {
      hangs = true;
    },
    cut(refuse = false) {
      refusing = refuse;
      wire?.closed("cut");
    },
    pin: firmware.pin,
  };
}

const version = [0xf9, 2, 4];
const pinCount = 20;
const outputMode = 1;
const sysex = (...bytes: number[]): number[] => [0xf0, ...bytes, 0xf7];
const sevenBits = (values: readonly number[]): number[] =>
  values.flatMap((value) => [value & 0x7f, (value >> 7) & 0x7f]);
const fromSevenBits = (bytes: readonly number[]): number[] =>
  Array.from({ length: bytes.length >> 1 }, (_, at) => {
    const [low = 0, high = 0] = bytes.slice(2 * at);
    return low | (high << 7);
  });
const ofEachPin = (bytes: readonly number[]): number[] =>
  Array.from({ length: pinCount }, () => bytes).flat();
const firmwareName = sysex(0x79, 2, 4, ...sevenBits([...Buffer.from("SoftFirmata.ino")]));
const tooFew = sysex(0x71, ...sevenBits([...Buffer.from("I2C: Too few bytes received")]));

function createSoftFirmware(bus: SoftBus, say: (bytes: readonly number[]) => void) {
  let incoming: number[] = [];
  const pins = createPins();
  const i2c = createSoftI2c(bus, say);
  /** Answers by the command that asks. */
  const answers: Record<number, (rest: readonly number[]) => void> = {
    121: () => say(firmwareName),
    107: () => say(sysex(0x6c, ...ofEachPin([0, 1, 1, 1, 0x7f]))),
    105: () => say(sysex(0x6a, ...ofEachPin([0x7f]))),
    109: ([pin = 0]) => say(sysex(0x6e, pin, 0, 0)),
    120: () => i2c.turn(true),
    118: (rest) => i2c.transfer(rest),
  };
  return {
    boot() {
      incoming = [];
      i2c.turn(false);
      pins.forget();
      say([...version, ...firmwareName]);
    },
    hear(byte: number) {
      if (incoming.length === 0 && byte === 0xf9) return say(version);
      incoming.push(byte);
      if (!isWhole(incoming)) return;
      const [first = 0, command = 0, ...rest] = incoming;
      incoming = [];
      if (first === 0xf0) answers[command]?.(rest.slice(0, -1));
      else pins.hear(first, [command, ...rest]);
    },
    pin: pins.level,
  };
}

function isWhole(message: readonly number[]): boolean {
  return message[0] === 0xf0 ? message.at(-1) === 0xf7 : message.length === 3;
}

function createPins() {
  const modes = new Map<number, number>();
  const levels = new Map<number, number>();
  return {
    forget() {
      modes.clear();
      levels.clear();
    },
    hear(command: number, [first = 0, second = 0]: readonly number[]) {
      if (command === 0xf4) modes.set(first, second);
      if (command >> 4 !== 9) return;
      for (let bit = 0; bit < 8; bit += 1) {
        levels.set((command & 15) * 8 + bit, ((first | (second << 7)) >> bit) & 1);
      }
    },
    level: (pin: number) => (modes.get(pin) === outputMode ? (levels.get(pin) ?? 0) : undefined),
  };
}

/** As the firmware before 2.5.9: a read from nobody gives the bytes of the read before. */
function createSoftI2c(bus: SoftBus, say: (bytes: readonly number[]) => void) {
  let isOn = false;
  let lastRead: number[] = [];
  function read(address: number, values: readonly number[]): void {
    const [register, length = 0] = values.length > 1 ? values : [undefined, values[0]];
    if (register !== undefined && bus.begin(address, true)) bus.write(register);
    if (bus.begin(address, false)) lastRead = Array.from({ length }, () => bus.read());
    else say(tooFew);
    const bytes = Array.from({ length }, (_, at) => lastRead[at] ?? 0);
    say(sysex(0x77, ...sevenBits([address, register ?? 0, ...bytes])));
  }
  return {
    turn(on: boolean) {
      isOn = on;
    },
    transfer([address = 0, mode = 0, ...rest]: readonly number[]) {
      if (!isOn) return;
      const values = fromSevenBits(rest);
      if (mode >> 3 === 1) read(address, values);
      else if (bus.begin(address, true)) for (const value of values) bus.write(value);
    },
  };
}
