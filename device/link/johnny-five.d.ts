// What this program uses of johnny-five and firmata-io, which bring no types of their own.
declare module "firmata-io" {
  import type { EventEmitter } from "node:events";

  export interface FirmataIo extends EventEmitter {
    isReady: boolean;
    versionReceived: boolean;
    buffer: number[];
    pins: unknown[];
    firmware: { name?: string; version?: { major: number; minor: number } };
    version: { major?: number; minor?: number };
    i2cConfig(delayUs: number): void;
    i2cWrite(address: number, bytes: number[]): void;
    i2cReadOnce(address: number, length: number, done: (bytes: number[]) => void): void;
    i2cReadOnce(
      address: number,
      register: number,
      length: number,
      done: (bytes: number[]) => void,
    ): void;
    queryPinState(pin: number, done: () => void): void;
    pinMode(pin: number, mode: number): void;
    setSamplingInterval(everyMs: number): void;
    reportAnalogPin(channel: number, on: 0 | 1): void;
    reportVersionTimeoutId: NodeJS.Timeout;
  }
  const bindTransport: {
    Firmata: new (
      transport: EventEmitter,
      options?: { reportVersionTimeout?: number },
    ) => FirmataIo;
  };
  // biome-ignore lint/style/noDefaultExport: this is what the package has
  export default bindTransport;
}

declare module "johnny-five" {
  import type { EventEmitter } from "node:events";

  export interface FiveBoard extends EventEmitter {
    timer: NodeJS.Timeout | null;
    isReady: boolean;
  }
  export interface FiveLed {
    readonly mode: number;
    on(): FiveLed;
    off(): FiveLed;
    blink(everyMs: number): FiveLed;
    stop(): FiveLed;
  }
  const five: {
    Board: new (options: {
      io: EventEmitter;
      id?: string;
      repl: false;
      debug: false;
      sigint: false;
      timeout: number;
    }) => FiveBoard;
    Led: new (options: { pin: number; board: FiveBoard }) => FiveLed;
  };
  // biome-ignore lint/style/noDefaultExport: this is what the package has
  export default five;
}
