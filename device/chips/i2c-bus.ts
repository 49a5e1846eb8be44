// One board's I2C bus over Firmata: one transfer at a time, each with a time limit, none believed that failed.

/** The part of firmata-io that carries I2C. Replies are told apart by address and register only. */
export type I2cIo = {
  i2cConfig(delayUs: number): void;
  i2cWrite(address: number, bytes: number[]): void;
  i2cReadOnce(address: number, register: number, length: number, done: I2cReply): void;
  i2cReadOnce(address: number, length: number, done: I2cReply): void;
  queryPinState(pin: number, done: () => void): void;
  on(event: "string", listener: (text: string) => void): unknown;
  // biome-ignore lint/suspicious/noExplicitAny: what a listener takes depends on its event
  removeListener(event: string, listener: (...values: any[]) => void): unknown;
};
type I2cReply = (bytes: number[]) => void;

/**
 * absent: nothing acknowledged the address. silent: the board answers, but not this question.
 * stuck: the board doesn't answer at all. down: there is no link to the board.
 */
export type I2cProblem = "absent" | "silent" | "stuck" | "down";

export class I2cError extends Error {
  readonly problem: I2cProblem;

  constructor(problem: I2cProblem, what: string) {
    super(`${what} requires an answer, got ${problem}`);
    this.name = "I2cError";
    this.problem = problem;
  }
}

export type I2cRead = { address: number; length: number; register?: number };

export type I2cBus = {
  /** Never acknowledged by Firmata: read back what matters. Throws I2cError when there is no link. */
  write(address: number, bytes: readonly number[]): Promise<void>;
  /** Exactly `length` bytes (at most 32, the firmware's buffer). Throws I2cError. */
  read(request: I2cRead): Promise<number[]>;
  /** Runs steps that belong together, with nothing of others in between. */
  alone<T>(steps: (bus: Pick<I2cBus, "read" | "write">) => Promise<T>): Promise<T>;
  /** The link to the board is there and I2C is on, or all is off. */
  setUp(isUp: boolean): void;
};

export type I2cBusSettings = {
  io: () => I2cIo;
  /** Called when the board itself no longer answers. */
  onStuck: () => void;
  /** A round trip takes 6 to 9 ms on a wire; a radio link needs more. */
  timeoutMs?: number;
};

const mostBytes = 32;

export function createI2cBus(settings: I2cBusSettings): I2cBus {
  const waiting = createWaiting(settings.timeoutMs ?? 1_000);
  let isUp = false;
  let queue: Promise<unknown> = Promise.resolve();
  const read = createRead({
    io: settings.io,
    waiting,
    stuck() {
      isUp = false;
      settings.onStuck();
    },
  });
  function requireUp(address: number): string {
    const what = `I2C address 0x${address.toString(16)}`;
    if (!isUp) throw new I2cError("down", what);
    return what;
  }
  const direct: Direct = {
    read: (request) => read(request, requireUp(request.address)),
    write(address, bytes) {
      requireUp(address);
      settings.io().i2cWrite(address, [...bytes]);
      return Promise.resolve();
    },
  };
  function alone<T>(steps: (bus: Direct) => Promise<T>): Promise<T> {
    const turn = queue.then(() => steps(direct));
    queue = turn.catch(() => undefined);
    return turn;
  }
  return {
    alone,
    write: (address, bytes) => alone((bus) => bus.write(address, bytes)),
    read: (request) => alone((bus) => bus.read(request)),
    setUp(up) {
      isUp = false;
      waiting.abandon();
      if (!up) return;
      settings.io().i2cConfig(0);
      isUp = true;
    },
  };
}

type Direct = Pick<I2cBus, "read" | "write">;
/** Asks, and gives what makes it stop listening for the answer. */
type Ask<T> = (answer: (value: T) => void) => () => void;
type Waiting = ReturnType<typeof createWaiting>;

/** Waits for one answer at a time, no longer than the limit, nor than the link lasts. */
function createWaiting(timeoutMs: number) {
  let abandon: ((error: I2cError) => void) | undefined;
  return {
    abandon: () => abandon?.(new I2cError("down", "the board")),
    answerTo<T>(ask: Ask<T>, what: string): Promise<T> {
      return new Promise<T>((resolve, reject) => {
        // An answer may come before `ask` returns.
        let forget = (): void => undefined;
        const end = (): void => {
          clearTimeout(timer);
          forget();
          abandon = undefined;
        };
        const fail = (error: I2cError): void => {
          end();
          reject(error);
        };
        const timer = setTimeout(() => fail(new I2cError("silent", what)), timeoutMs);
        abandon = fail;
        forget = ask((value) => {
          end();
          resolve(value);
        });
      });
    },
  };
}

type ReadParts = { io: () => I2cIo; waiting: Waiting; stuck: () => void };

/**
 * Firmware before 2.5.9 answers for an absent chip with the bytes of the chip read before it, in
 * full length; only the warning that comes first tells. A newer one warns and answers short.
 */
function createRead({ io, waiting, stuck }: ReadParts) {
  return async ({ address, length, register }: I2cRead, what: string): Promise<number[]> => {
    if (length > mostBytes) throw new RangeError(`read requires up to 32 bytes, got ${length}`);
    const firmata = io();
    let warned = false;
    const warn = (text: string): void => {
      warned ||= text.startsWith("I2C:");
    };
    firmata.on("string", warn);
    try {
      const bytes = await waiting.answerTo<number[]>((answer) => {
        if (register === undefined) firmata.i2cReadOnce(address, length, answer);
        else firmata.i2cReadOnce(address, register, length, answer);
        return () => firmata.removeListener(`I2C-reply-${address}-${register ?? 0}`, answer);
      }, what);
      if (warned || bytes.length !== length) throw new I2cError("absent", what);
      return bytes;
    } catch (error) {
      if (isSilent(error) && !(await answersLater(firmata, waiting))) {
        stuck();
        throw new I2cError("stuck", what);
      }
      throw error;
    } finally {
      firmata.removeListener("string", warn);
    }
  };
}

/**
 * Answers keep their order, so once a later question is answered a lost answer can't come any more
 * and be taken for another's. If that goes unanswered too, the firmware hangs in a stuck bus.
 */
async function answersLater(io: I2cIo, waiting: Waiting): Promise<boolean> {
  try {
    await waiting.answerTo<void>((answer) => {
      const done = (): void => answer();
      io.queryPinState(0, done);
      return () => io.removeListener("pin-state-0", done);
    }, "the board");
    return true;
  } catch (error) {
    if (isSilent(error)) return false;
    throw error;
  }
}

function isSilent(error: unknown): boolean {
  return error instanceof I2cError && error.problem === "silent";
}
