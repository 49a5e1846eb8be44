// Reads what a board measures beside its cells, as described; what doesn't answer is left out.
import type { BoardDescription } from "./boards-file.ts";
import { type I2cBus, I2cError } from "./chips/i2c-bus.ts";
import { createBme280, createMcp9808, createTmp102 } from "./chips/weather-chips.ts";
import type { BoardLink } from "./link/board-link.ts";
import type { Surroundings } from "./source.ts";

type Described = Pick<BoardDescription, "thermometer" | "barometer" | "supply">;
type Wait = (forMs: number) => Promise<void>;

export function createAir(
  described: Described,
  link: Pick<BoardLink, "bus" | "analog">,
  wait: Wait,
) {
  const { bus } = link;
  const readSupplyV = createSupply(described, link);
  const readTempC = createThermometer(described, bus);
  const readBarometer = createBarometer(described, bus, wait);
  return async (): Promise<Surroundings> => {
    const tempC = await orNothing(readTempC);
    const weather = await orNothing(readBarometer);
    const supplyV = readSupplyV();
    const airC = readTempC === undefined ? weather?.tempC : tempC;
    return {
      ...(airC === undefined ? {} : { airC: Math.round(airC * 10_000) / 10_000 }),
      ...(supplyV === undefined ? {} : { supplyV: Math.round(supplyV * 100) / 100 }),
      ...(weather === undefined ? {} : { pressurePa: Math.round(weather.pressurePa) }),
    };
  };
}

function createThermometer({ thermometer }: Described, bus: I2cBus) {
  if (thermometer?.chip === "mcp9808") return createMcp9808(bus, thermometer.address);
  return thermometer?.chip === "tmp102" ? createTmp102(bus, thermometer.address) : undefined;
}

function createBarometer({ thermometer, barometer }: Described, bus: I2cBus, wait: Wait) {
  const chip = barometer ?? thermometer;
  return chip?.chip === "bme280" ? createBme280(bus, wait, chip.address) : undefined;
}

/** Volts before the divider. */
function createSupply({ supply }: Described, link: Pick<BoardLink, "analog">) {
  if (supply === undefined) return () => undefined;
  const input = link.analog(supply.analog);
  return () => {
    const fraction = input.fraction();
    return fraction === undefined ? undefined : fraction * supply.fullScaleV * supply.dividedBy;
  };
}

async function orNothing<T>(read: (() => Promise<T>) | undefined): Promise<T | undefined> {
  try {
    return await read?.();
  } catch (error) {
    if (error instanceof I2cError) return undefined;
    throw error;
  }
}
