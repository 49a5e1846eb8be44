// Pins of a board that live through its resets: a lamp and an analog input.
import type { FirmataIo } from "firmata-io";
import type { FiveLed } from "johnny-five";

export type Lamp = {
  /** Stays as asked through cuts and resets. */
  show(state: LampState): void;
};
export type LampState = "off" | "on" | "blinking";

export type Analog = {
  /** Of full scale, 0 to 1; undefined when nothing was told lately. */
  fraction(): number | undefined;
};

type LampParts = { io: FirmataIo; newLed: (pin: number) => FiveLed };

const blinkMs = 500;
const fullScale = 1023;
const samplingMs = 1_000;
const staleMs = 15_000;

export function createAnalog(channel: number) {
  let newest: { fraction: number; atMs: number } | undefined;
  let isListening = false;
  return {
    listen(io: FirmataIo) {
      if (!isListening) {
        io.on(`analog-read-${channel}`, (value: number) => {
          newest = { fraction: value / fullScale, atMs: performance.now() };
        });
      }
      isListening = true;
      // A reset board has forgotten both.
      io.setSamplingInterval(samplingMs);
      io.reportAnalogPin(channel, 1);
    },
    fraction() {
      const isFresh = newest !== undefined && performance.now() - newest.atMs < staleMs;
      return isFresh ? newest?.fraction : undefined;
    },
  };
}

export function createLamp(pin: number, parts: () => LampParts | undefined) {
  let wanted: LampState = "off";
  let led: FiveLed | undefined;
  const apply = (): void => {
    if (led === undefined) return;
    led.stop();
    if (wanted === "blinking") led.blink(blinkMs);
    else if (wanted === "on") led.on();
    else led.off();
  };
  return {
    show(state: LampState) {
      wanted = state;
      led ??= parts()?.newLed(pin);
      apply();
    },
    /** The pin's mode is part of what a reset board forgets. */
    again() {
      if (led === undefined) led = parts()?.newLed(pin);
      else parts()?.io.pinMode(pin, led.mode);
      apply();
    },
  };
}
