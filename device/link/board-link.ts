// One johnny-five Board for the life of the program, on a link that may come and go under it.
import type { FirmataIo } from "firmata-io";
import type { FiveBoard, FiveLed } from "johnny-five";
import { createI2cBus, type I2cBus } from "../chips/i2c-bus.ts";
import type { Log } from "../log.ts";
import type { Dial } from "./dial.ts";
import { type Analog, createAnalog, createLamp, type Lamp } from "./pins.ts";
import { createRedial, type Transport } from "./redial.ts";

export type BoardLink = {
  bus: I2cBus;
  /** Loads johnny-five and begins to dial. */
  start(): Promise<void>;
  stop(): Promise<void>;
  isUp(): boolean;
  /** Times the board came up, first or again; whatever was set up before is to be doubted. */
  lives(): number;
  /** Why there is no link; undefined while there is one. */
  problem(): string | undefined;
  /** "StandardFirmata 2.4"; undefined before the first answer. */
  firmware(): string | undefined;
  lamp(pin: number): Lamp;
  /** An analog input of the board, told about once a second. */
  analog(channel: number): Analog;
};

export type BoardLinkSettings = {
  board: string;
  dial: Dial;
  log: Log;
  timeoutMs?: number;
  /** How often a board that has not spoken yet is asked for its version. */
  askMs?: number;
  waits?: { leastWaitMs?: number; mostWaitMs?: number };
};

/** Firmata protocol: report version; query firmware, capabilities and analog mapping. */
const ask = {
  version: [0xf9],
  firmware: [0xf0, 0x79, 0xf7],
  capabilities: [0xf0, 0x6b, 0xf7],
  analogMapping: [0xf0, 0x69, 0xf7],
};
/** When a board has left so many questions unanswered the link is opened anew. */
const mostAsked = 20;
/**
 * A starting board announces itself, then answers the questions that waited for it; what it says
 * within this time is one beginning, not several resets.
 */
const settleMs = 250;
const longestTimeoutMs = 2 ** 31 - 1;

type Parts = { io: FirmataIo; five: FiveBoard; newLed: (pin: number) => FiveLed };

export function createBoardLink(settings: BoardLinkSettings): BoardLink {
  const { board, log } = settings;
  let parts: Parts | undefined;
  const life = createLife(settings, () => requireParts(parts));
  const { state, redial } = life;
  return {
    bus: life.bus,
    async start() {
      parts ??= await loadParts(board, redial.transport, (problem) =>
        log.debug("board error", { board, problem }),
      );
      const { io, five } = parts;
      io.on("reportversion", life.reset);
      five.once("ready", life.hear);
      io.on("queryfirmware", () => {
        if (five.isReady) life.hear();
      });
      redial.start();
    },
    async stop() {
      await life.stop();
      if (parts?.five.timer) clearTimeout(parts.five.timer);
    },
    isUp: state.isUp,
    lives: state.lives,
    problem: state.problem,
    firmware: () => firmwareOf(parts?.io),
    lamp(pin) {
      const lamp = createLamp(pin, () => (state.isUp() ? parts : undefined));
      life.onRise(lamp.again);
      return { show: lamp.show };
    },
    analog(channel) {
      const analog = createAnalog(channel);
      life.onRise(() => analog.listen(requireParts(parts).io));
      return analog;
    },
  };
}

/** What comes and goes with the link: rising, sinking, and opening it anew. */
function createLife(settings: BoardLinkSettings, parts: () => Parts) {
  const state = createState(settings);
  const risen: (() => void)[] = [];
  const bus = createI2cBus({
    io: () => parts().io,
    onStuck: () => fall("the board hangs: its I2C bus is stuck"),
    ...(settings.timeoutMs === undefined ? {} : { timeoutMs: settings.timeoutMs }),
  });
  const redial = createRedial({
    dial: settings.dial,
    opened: () => greeting.begin(parts().io),
    lost: sink,
    ...settings.waits,
  });
  const greeting = createGreeting({
    askMs: settings.askMs ?? 1_000,
    say: (bytes) => redial.transport.write(Uint8Array.from(bytes)),
    unanswered: () => fall(state.lives() === 0 ? noFirmata : hangs),
  });
  /** Opening the link anew resets a board on USB; one on the network may need its power cycled. */
  function fall(why: string): void {
    sink(why);
    redial.reopen(why);
  }
  const settling = createSettling(rise);
  function sink(why: string): void {
    settling.end();
    greeting.end();
    state.down(why);
    bus.setUp(false);
  }
  function rise(): void {
    state.up(firmwareOf(parts().io));
    bus.setUp(true);
    for (const listener of risen) listener();
  }
  return {
    bus,
    redial,
    state,
    /** The board said what it is: it is up as soon as it says no more. */
    hear() {
      if (state.isUp()) return;
      greeting.end();
      settling.begin();
    },
    /** Unasked: the board was reset under the link, and knows nothing of what it was told. */
    reset() {
      if (!state.isUp()) return;
      sink("the board was reset");
      greeting.begin(parts().io);
    },
    onRise: (listener: () => void) => risen.push(listener),
    async stop() {
      await redial.stop();
      settling.end();
      greeting.end();
    },
  };
}

const noFirmata = "the board is connected, but does not speak Firmata";
const hangs = "the board is connected, but hangs: switch it off and on";

function createSettling(settled: () => void) {
  let timer: NodeJS.Timeout | undefined;
  const end = (): void => clearTimeout(timer);
  return {
    begin() {
      end();
      timer = setTimeout(settled, settleMs);
    },
    end,
  };
}

function createState({ board, log }: BoardLinkSettings) {
  let up = false;
  let lives = 0;
  let problem: string | undefined = "not dialled yet";
  return {
    isUp: () => up,
    lives: () => lives,
    problem: () => problem,
    down(why: string) {
      if (problem !== why) log.warn("no link to the board", { board, problem: why });
      problem = why;
      up = false;
    },
    up(firmware: string | undefined) {
      log.info("board answers", { board, firmware });
      problem = undefined;
      lives += 1;
      up = true;
    },
  };
}

/** Asks until the board has answered: it may still be starting, or have started long ago. */
function createGreeting(settings: {
  askMs: number;
  say: (bytes: readonly number[]) => void;
  unanswered: () => void;
}) {
  let asking: NodeJS.Timeout | undefined;
  const end = (): void => clearInterval(asking);
  return {
    begin(io: FirmataIo) {
      // What was left of a message when the wire broke.
      io.buffer.length = 0;
      end();
      let asked = 0;
      asking = setInterval(() => {
        asked += 1;
        if (asked > mostAsked) return settings.unanswered();
        for (const question of questions(io)) settings.say(question);
      }, settings.askMs);
    },
    end,
  };
}

/** A link cut within the handshake leaves Firmata waiting for answers it will not ask for again. */
function questions(io: FirmataIo): readonly (readonly number[])[] {
  const known = io.firmware.name !== undefined && !io.isReady;
  return [
    ask.version,
    ask.firmware,
    ...(known ? [ask.capabilities] : []),
    ...(known && io.pins.length > 0 ? [ask.analogMapping] : []),
  ];
}

async function loadParts(
  board: string,
  transport: Transport,
  warn: (problem: string) => void,
): Promise<Parts> {
  const [{ default: bindTransport }, { default: johnnyFive }] = await Promise.all([
    import("firmata-io"),
    import("johnny-five"),
  ]);
  const io = new bindTransport.Firmata(transport, { reportVersionTimeout: longestTimeoutMs });
  // The greeting asks; Firmata's own single question would come to nothing before there is a wire.
  clearTimeout(io.reportVersionTimeoutId);
  const five = new johnnyFive.Board({
    io,
    id: board,
    repl: false,
    debug: false,
    sigint: false,
    timeout: longestTimeoutMs,
  });
  for (const part of [io, five]) part.on("error", (error: unknown) => warn(String(error)));
  return { io, five, newLed: (pin) => new johnnyFive.Led({ pin, board: five }) };
}

function requireParts(parts: Parts | undefined): Parts {
  if (parts === undefined) throw new Error("a board link requires start before use");
  return parts;
}

function firmwareOf(io: FirmataIo | undefined): string | undefined {
  const { name, version } = io?.firmware ?? {};
  if (name === undefined || version === undefined) return undefined;
  return `${name.replace(/\.(ino|cpp)$/, "")} ${version.major}.${version.minor}`;
}
