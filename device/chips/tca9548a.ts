// The I2C multiplexer TCA9548A: eight branches behind one address, chosen by one control byte.
// Bit n of the control byte connects branch n (TCA9548A, table of command byte definitions, from
// memory); the chip has no registers, so a "register" written to it would be a choice of branches.
import { type I2cBus, I2cError } from "./i2c-bus.ts";

export const defaultMuxAddress = 0x70;

/** The control byte that connects just this branch, 0-7. */
export function muxControlByte(channel: number): number {
  if (!Number.isInteger(channel) || channel < 0 || channel > 7) {
    throw new RangeError(`channel requires a whole number from 0 to 7, got ${channel}`);
  }
  return 1 << channel;
}

export type Mux = {
  /** Steps with the chip on one branch, and nothing else in between. Throws I2cError. */
  on<T>(channel: number, steps: (bus: Pick<I2cBus, "read" | "write">) => Promise<T>): Promise<T>;
};

/** Each choice is read back, as a write is never acknowledged and a glitch lets the chip forget it. */
export function createMux(bus: I2cBus, address: number = defaultMuxAddress): Mux {
  return {
    on: (channel, steps) =>
      bus.alone(async (direct) => {
        const wanted = muxControlByte(channel);
        const choose = async (): Promise<boolean> => {
          await direct.write(address, [wanted]);
          const [chosen] = await direct.read({ address, length: 1 });
          return chosen === wanted;
        };
        if (!((await choose()) || (await choose()))) {
          throw new I2cError("silent", `multiplexer branch ${channel}`);
        }
        return steps(direct);
      }),
  };
}
