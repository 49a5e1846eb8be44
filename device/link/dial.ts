// What every way to a board has in common: it is dialled, carries bytes, and ends once.

export type WireEvents = {
  opened(): void;
  data(bytes: Uint8Array): void;
  /** Once, whatever ended it. */
  closed(problem: string): void;
};

export type Wire = {
  write(bytes: Uint8Array): void;
  close(): void;
};

/** Begins to open; never throws, and never calls back before it has returned. */
export type Dial = (events: WireEvents) => Wire;

/** Tells the end of a wire once, with the first problem that showed. */
export function createEnding(events: Pick<WireEvents, "closed">) {
  let problem: string | undefined;
  let ended = false;
  return {
    note(error: Error) {
      problem ??= error.message;
    },
    end(why: string) {
      if (ended) return;
      ended = true;
      events.closed(problem ?? why);
    },
  };
}
