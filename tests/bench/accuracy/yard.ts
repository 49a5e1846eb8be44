// A yard of trees of one kind through one season: what was really so, and what the product's filter made of its cells.
import { createBumpTree } from "../../../device/yard/bump-tree.ts";
import { createFreezeTree } from "../../../device/yard/freeze-tree.ts";
import { createRandom, subSeed } from "../../../device/yard/random.ts";
import type { Tree } from "../../../device/yard/tree.ts";
import type {
  BucketReading,
  BucketSetup,
  FlowEstimate,
  FlowEvent,
  Slot,
} from "../../../server/domain/bucket.ts";
import { flowEstimate, startFlow, stepFlow } from "../../../server/domain/flow/flow.ts";
import { startLedger, stepLedger } from "../../../server/domain/flow/ledger.ts";
import { gFromVolumeL } from "../../../shared/sap/density.ts";
import type { FlowListener } from "./flow-score.ts";
import { type Handling, setBeforeDawn, type Touch, type TouchKind } from "./handling.ts";
import { createScale } from "./scale.ts";
import { knotMs, type SeasonWeather } from "./season-weather.ts";
import { createVessel } from "./vessel.ts";

export type TreeKind = "A" | "B";

/** By knots of five minutes from the season's start on. */
export type Truth = {
  /** Sap that ran from the tree since the start. */
  inflowG: Float64Array;
  /** What still fitted into the bucket. */
  roomG: Float64Array;
  lostG: Float64Array;
};

/** A touch that is over: what it added to the weight, and whether a reading fell into it. */
export type Touched = {
  kind: TouchKind | "spike";
  fromMs: number;
  untilMs: number;
  /** The first weight after it; the end of the season while there is none. */
  seenMs: number;
  beforeG: number;
  afterG: number;
  /** What pressed on the cell meanwhile. */
  pressedG: number;
  deltaG: number;
  isSampled: boolean;
};

export type Followed = {
  setup: BucketSetup;
  slots: Slot[];
  events: FlowEvent[];
  /** The filter's word at each full hour. */
  hours: FlowEstimate[];
  truth: Truth;
  touches: Touched[];
};

export type FollowSettings = {
  kind: TreeKind;
  seed: number;
  weather: SeasonWeather;
  startMs: number;
  days: number;
  scores: readonly FlowListener[];
  handling?: Handling;
  /** The cell sticks and runs into its end now and then. */
  hasFaults?: boolean;
};

const hourMs = 3_600_000;
const dayMs = 24 * hourMs;
const readingMs = 30_000;
const knotH = knotMs / hourMs;
const warmUpDays = 2;
const worthGatheringG = 400;

/** Lives through the season of one tree reading by reading. */
export function followTree(settings: FollowSettings): Followed {
  const { startMs, days, weather } = settings;
  const world = createWorld(settings);
  const knots = (days * dayMs) / knotMs;
  const truth = {
    inflowG: new Float64Array(knots + 1),
    roomG: new Float64Array(knots + 1),
    lostG: new Float64Array(knots + 1),
  };
  const listener = createListener(settings, world.setup);
  for (let knot = 0; knot < knots; knot += 1) {
    const atMs = startMs + knot * knotMs;
    const flowGPerH = world.liveKnot(atMs);
    truth.inflowG[knot + 1] = (truth.inflowG[knot] ?? 0) + flowGPerH * knotH;
    let lostG = 0;
    for (let step = 1; step <= knotMs / readingMs; step += 1) {
      const nowMs = atMs + step * readingMs;
      world.touchUntil(nowMs);
      const spilledG = world.runOn(nowMs, flowGPerH);
      lostG += spilledG;
      const massG = world.weigh(nowMs);
      const isFull = spilledG > 0;
      if (massG !== undefined) {
        const air = weather.at(nowMs - 1).airC;
        listener.hear(
          {
            atMs: nowMs,
            massG,
            airC: Math.round(16 * air) / 16,
            localHour: (nowMs % dayMs) / hourMs,
          },
          { flowGPerH, isFull },
        );
      }
      if (nowMs % hourMs === 0) listener.atHour(nowMs);
    }
    truth.lostG[knot + 1] = lostG;
    truth.roomG[knot + 1] = world.roomG();
  }
  const { slots, events, hours } = listener;
  return { setup: world.setup, slots, events, hours, truth, touches: world.touches };
}

function createListener({ scores }: FollowSettings, setup: BucketSetup) {
  let flow = startFlow();
  let ledger = startLedger();
  const slots: Slot[] = [];
  const events: FlowEvent[] = [];
  const hours: FlowEstimate[] = [];
  return {
    slots,
    events,
    hours,
    hear(reading: BucketReading, truth: { flowGPerH: number; isFull: boolean }): void {
      const step = stepFlow(flow, reading, setup);
      flow = step.state;
      const estimate = flowEstimate(flow, setup, reading.atMs);
      const { airC = 0 } = reading;
      const { localHour } = reading;
      const at = localHour === undefined ? {} : { localHour };
      const booked = stepLedger(ledger, { estimate, events: step.events, airC, ...at });
      ledger = booked.ledger;
      slots.push(...booked.slots);
      events.push(...step.events);
      for (const score of scores) score.take({ reading, estimate, setup, ...truth });
    },
    atHour(nowMs: number): void {
      hours.push(flowEstimate(flow, setup, nowMs));
    },
  };
}

function createWorld(settings: FollowSettings) {
  const { kind, seed, weather, startMs } = settings;
  const random = createRandom(subSeed(seed, "tree"));
  const vigourL = 3.7 * Math.exp(0.42 * random.normal());
  const capacityL = random.uniform() < 0.5 ? 7.6 : 10.5;
  const setup = { emptyG: 800, capacityG: gFromVolumeL(capacityL) };
  const rainGPerMm = 65 * (0.01 + 0.24 * random.uniform());
  const vessel = createVessel({ capacityL, rainGPerMm });
  const scale = createScale(seed, { hasFaults: settings.hasFaults === true });
  const tree = treeOf(kind, { seed, vigourL, taps: 1 });
  const handling = settings.handling ?? setBeforeDawn;
  const touches = createTouches((onMs) => handling(seed, onMs), startMs);
  const done: Touched[] = [];
  let touched = { beforeG: 0, grossG: 0, isSampled: false };
  warmUp(tree, settings);
  let pressing = 0;
  let away = false;
  let isLeft = false;
  const grossG = () => (away ? 0 : setup.emptyG + vessel.sapG() + vessel.lidG() + pressing);

  function begin(touch: Touch): void {
    touched = { beforeG: vessel.sapG(), grossG: grossG(), isSampled: false };
    isLeft = isOfFull(touch) && vessel.sapG() < worthGatheringG;
    if (isLeft) return;
    if (touch.kind === "bump" || touch.kind === "lean") pressing = touch.value;
    else away = true;
  }

  function end(touch: Touch): void {
    if (isLeft) return;
    pressing = 0;
    if (away) hangBack(touch);
    const { kind: what, fromMs, untilMs } = touch;
    const deltaG = grossG() - touched.grossG;
    const { beforeG, isSampled } = touched;
    const afterG = vessel.sapG();
    const pressedG = what === "bump" || what === "lean" ? touch.value : 0;
    done.push({
      kind: what,
      fromMs,
      untilMs,
      seenMs: unseenMs,
      beforeG,
      afterG,
      pressedG,
      deltaG,
      isSampled,
    });
  }

  function hangBack({ kind: what, value }: Touch): void {
    away = false;
    if (what === "set") vessel.setSapG(value * setup.capacityG);
    if (what === "gather") vessel.setSapG(Math.min(vessel.sapG(), value));
    if (what === "pour") vessel.setSapG(vessel.sapG() * value);
    if (what !== "lift") vessel.shedLid();
    scale.reseat();
  }

  return {
    setup,
    /** Lets the tree live through a knot; gives what it runs all through it. */
    liveKnot: (atMs: number) => stepTree(tree, settings, atMs),
    /** Lets sap in up to `nowMs`, one reading after the last; gives what went over the rim. */
    runOn(nowMs: number, flowGPerH: number): number {
      const now = weather.at(nowMs - 1);
      const stepH = readingMs / hourMs;
      // Beside a bucket that is off its hook sap and rain fall to the ground.
      const { lostG } = away ? { lostG: 0 } : vessel.step({ flowGPerH, weather: now, stepH });
      scale.step(now, grossG(), stepH);
      return lostG;
    },
    touchUntil: (nowMs: number) => touches.until(nowMs, { begin, end }),
    touches: done,
    weigh(nowMs: number): number | undefined {
      const massG = scale.weigh(weather.at(nowMs - 1).windMS, grossG());
      touched.isSampled ||= massG !== undefined;
      if (massG !== undefined) seen(done, nowMs);
      if (massG !== undefined && Math.abs(scale.spikeG()) > 0) done.push(spikeAt(nowMs));
      return massG;
    },
    roomG: () => vessel.roomG(),
  };
}

const unseenMs = Number.MAX_SAFE_INTEGER;

function isOfFull({ kind }: Touch): boolean {
  return kind === "gather" || kind === "pour";
}

function seen(done: readonly Touched[], nowMs: number): void {
  for (let index = done.length - 1; index >= 0; index -= 1) {
    const touched = done[index];
    if (touched === undefined || touched.seenMs !== unseenMs) return;
    touched.seenMs = nowMs;
  }
}

function spikeAt(atMs: number): Touched {
  const span = { fromMs: atMs, untilMs: atMs, seenMs: atMs };
  return { kind: "spike", ...span, beforeG: 0, afterG: 0, pressedG: 0, deltaG: 0, isSampled: true };
}

function createTouches(touchesOn: (onMs: number) => Touch[], startMs: number) {
  let dayStartMs = startMs;
  let waiting = touchesOn(dayStartMs);
  let running: Touch | undefined;
  return {
    until(nowMs: number, hands: { begin(touch: Touch): void; end(touch: Touch): void }): void {
      if (running !== undefined && running.untilMs <= nowMs) {
        hands.end(running);
        running = undefined;
      }
      if (waiting.length === 0 && nowMs >= dayStartMs + dayMs) {
        dayStartMs += dayMs;
        waiting = touchesOn(dayStartMs);
      }
      const next = waiting[0];
      if (running === undefined && next !== undefined && next.fromMs <= nowMs) {
        running = next;
        waiting.shift();
        hands.begin(next);
      }
    },
  };
}

function treeOf(kind: TreeKind, tree: { seed: number; vigourL: number; taps: number }): Tree {
  return kind === "A" ? createFreezeTree(tree) : createBumpTree(tree);
}

function warmUp(tree: Tree, settings: FollowSettings): void {
  const fromMs = settings.startMs - warmUpDays * dayMs;
  for (let atMs = fromMs; atMs < settings.startMs; atMs += knotMs) stepTree(tree, settings, atMs);
}

function stepTree(tree: Tree, { weather, startMs }: FollowSettings, atMs: number): number {
  return tree.step({
    weather: weather.at(atMs),
    hourOfDay: (atMs % dayMs) / hourMs,
    stepH: knotH,
    seasonDay: Math.max(0, (atMs - startMs) / dayMs),
  });
}
