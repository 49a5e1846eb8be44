// Sends a board's outbox over MQTT: in order from the first batch the server has not kept, bounded.

import type { Answer, Kept } from "../shared/wire/topics.ts";
import type { Log } from "./log.ts";
import type { Link, OpenLink } from "./mqtt-link.ts";
import type { Outbox } from "./outbox.ts";
import type { KeptNote } from "./outbox-notes.ts";
import { type BatchBody, formatPack } from "./pack.ts";

export type PublisherSettings = {
  board: string;
  outbox: Outbox;
  openLink: OpenLink;
  log: Log;
  /** Packs under way that the server has not said it keeps. */
  window?: number;
  /** Real time without a word from the server after which all that is under way is sent again. */
  patienceMs?: number;
  onKept?: () => void;
  /** Obeys an order; what it gives is published as the answer. */
  obey?: (order: string) => Promise<Answer | undefined>;
  onAlarm?: (bucket: string, text: string) => void;
  /** Says when a batch was made, as far as that is known now. */
  restate?: (body: BatchBody) => BatchBody;
};

export type Publisher = {
  start(): void;
  /** Says good-bye and closes the link. Safe twice. */
  stop(): Promise<void>;
};

const mostPatienceMs = 15 * 60_000;
const backOffMs = { least: 250, most: 30_000 };

export function createPublisher(settings: PublisherSettings): Publisher {
  const dialling = createDialling(settings, () => sending);
  const sending = createSending(settings, () => dialling.link());
  return {
    start() {
      settings.outbox.onMade(sending.pump);
      dialling.start();
    },
    async stop() {
      sending.rest();
      await dialling.stop();
    },
  };
}

type Sending = {
  /** From the first batch the server has not kept. */
  fromKept(): void;
  pump(): void;
  heard(kept: Kept): void;
  rest(): void;
};

function createSending(settings: PublisherSettings, link: () => Link | undefined): Sending {
  const { outbox, board, window = 200, patienceMs = 60_000 } = settings;
  const { log, restate = (body: BatchBody) => body } = settings;
  const patience = createPatience(patienceMs, () => sendAgain("no answer"));
  let nextBatch = 1;

  function pump(): void {
    const open = link();
    while (open?.isReady() && nextBatch <= outbox.kept().through + window) {
      const found = outbox.next(nextBatch);
      if (found === undefined) break;
      const skipped = found.batch - nextBatch;
      open.publish(
        formatPack({ board, spool: outbox.spool, batch: found.batch, skipped }, restate(found)),
      );
      nextBatch = found.batch + 1;
    }
    patience.watch(open?.isReady() === true && nextBatch > outbox.kept().through + 1);
  }

  function sendAgain(why: string): void {
    const from = outbox.kept().through + 1;
    if (nextBatch > from) log.info("sending again", { board, why, fromBatch: from });
    nextBatch = from;
    pump();
  }

  function heard(kept: Kept): void {
    // A note about an earlier life of this outbox says nothing about these numbers.
    if (kept.spool !== outbox.spool) return;
    const change = changeFrom(outbox.kept(), kept);
    if (change === "none") return;
    outbox.noteKept(kept);
    patience.reset();
    nextBatch = Math.max(nextBatch, kept.through + 1);
    if (change === "on") pump();
    else sendAgain(change);
    settings.onKept?.();
  }

  return {
    fromKept() {
      nextBatch = outbox.kept().through + 1;
      pump();
    },
    pump,
    heard,
    rest: () => patience.watch(false),
  };
}

function changeFrom(known: KeptNote, kept: Kept) {
  if (known.store !== undefined && known.store !== kept.store) return "another store";
  if (kept.through < known.through) return "the server went back";
  return kept.through === known.through && known.store === kept.store ? "none" : "on";
}

/** Keeps one link open, dialling again ever more patiently when it ends. */
function createDialling(settings: PublisherSettings, sending: () => Sending) {
  const { board, log } = settings;
  let link: Link | undefined;
  let redial: NodeJS.Timeout | undefined;
  let waitMs = backOffMs.least;
  let stopped = false;
  let told: string | undefined;

  function closed(problem: string): void {
    link = undefined;
    sending().rest();
    if (stopped) return;
    if (told !== problem) log.warn("no link to the broker, trying again", { board, problem });
    told = problem;
    redial = setTimeout(dial, waitMs);
    waitMs = Math.min(waitMs * 2, backOffMs.most);
  }
  function ready(): void {
    waitMs = backOffMs.least;
    told = undefined;
    log.info("connected", { board });
    sending().fromKept();
  }
  function dial(): void {
    link = settings.openLink({
      ready,
      kept: (kept) => sending().heard(kept),
      closed,
      order: (text) => void obey(text),
      ...(settings.onAlarm === undefined ? {} : { alarm: settings.onAlarm }),
    });
  }
  async function obey(text: string): Promise<void> {
    try {
      const answer = await settings.obey?.(text);
      if (answer !== undefined) link?.answer(JSON.stringify(answer));
    } catch (error) {
      log.error("order failed", { board, problem: String(error) });
    }
  }
  return {
    link: () => link,
    start: dial,
    async stop() {
      stopped = true;
      clearTimeout(redial);
      await link?.close();
    },
  };
}

/** Waits for a sign of progress; each time in vain twice as long, so that nothing is sent for ever. */
function createPatience(firstMs: number, inVain: () => void) {
  let waitMs = firstMs;
  let timer: NodeJS.Timeout | undefined;
  const stop = () => {
    clearTimeout(timer);
    timer = undefined;
  };
  return {
    watch(isWaiting: boolean) {
      if (!isWaiting) return stop();
      timer ??= setTimeout(() => {
        timer = undefined;
        waitMs = Math.min(waitMs * 2, mostPatienceMs);
        inVain();
      }, waitMs).unref();
    },
    reset() {
      waitMs = firstMs;
      stop();
    },
  };
}
