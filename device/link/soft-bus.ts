// A model of an I2C bus, byte by byte, with a multiplexer: behind the soft board and the emulated one.

export type I2cSlave = {
  address: number;
  /** A transfer begins; false when the chip doesn't acknowledge. */
  begin(isWrite: boolean): boolean;
  write(byte: number): void;
  read(): number;
  /** Chips that are connected through this one at the moment. */
  behind?(): readonly I2cSlave[];
};

export type SoftBus = {
  /** True when anything acknowledges. */
  begin(address: number, isWrite: boolean): boolean;
  write(byte: number): void;
  /** What all that were addressed pull the line to; 255 when there is none. */
  read(): number;
};

export function createSoftBus(slaves: readonly I2cSlave[]): SoftBus {
  let addressed: readonly I2cSlave[] = [];
  const reachable = (from: readonly I2cSlave[]): I2cSlave[] =>
    from.flatMap((slave) => [slave, ...reachable(slave.behind?.() ?? [])]);
  return {
    begin(address, isWrite) {
      const called = reachable(slaves).filter((slave) => slave.address === address);
      addressed = called.filter((slave) => slave.begin(isWrite));
      return addressed.length > 0;
    },
    write(byte) {
      for (const slave of addressed) slave.write(byte);
    },
    read: () => addressed.reduce((line, slave) => line & slave.read(), 255),
  };
}

/** A chip with registers of one byte: the first byte written chooses, the rest go on from there. */
export function createByteSlave(settings: {
  address: number;
  isThere?: () => boolean;
  read: (register: number) => number;
  write: (register: number, value: number) => void;
}): I2cSlave {
  let pointer = 0;
  let pointed = false;
  return {
    address: settings.address,
    begin(isWrite) {
      if (isWrite) pointed = false;
      return settings.isThere?.() ?? true;
    },
    write(byte) {
      if (pointed) {
        settings.write(pointer, byte);
        pointer += 1;
      } else {
        pointer = byte;
        pointed = true;
      }
    },
    read() {
      const value = settings.read(pointer);
      pointer += 1;
      return value;
    },
  };
}

/** A chip with registers of two bytes, the high one first. */
export function createWordSlave(settings: {
  address: number;
  isThere?: () => boolean;
  read: (register: number) => number;
}): I2cSlave {
  let pointer = 0;
  let atLow = false;
  return {
    address: settings.address,
    begin() {
      atLow = false;
      return settings.isThere?.() ?? true;
    },
    write(byte) {
      pointer = byte;
    },
    read() {
      const word = settings.read(pointer) & 0xffff;
      atLow = !atLow;
      return atLow ? word >> 8 : word & 0xff;
    },
  };
}

/** A TCA9548A: one control byte, bit n for branch n; all off when its supply comes on. */
export function createSoftMux(
  address: number,
  branches: readonly (readonly I2cSlave[])[],
): I2cSlave & { forget(): void } {
  let control = 0;
  return {
    address,
    begin: () => true,
    write(byte) {
      control = byte;
    },
    read: () => control,
    behind: () => branches.filter((_, branch) => control & (1 << branch)).flat(),
    forget() {
      control = 0;
    },
  };
}
