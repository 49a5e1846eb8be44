// Holds the events that the filter told against what was really done to the buckets.
import type { FlowEvent, FlowEventKind } from "../../../server/domain/bucket.ts";
import type { Followed, Touched } from "./yard.ts";

type Answer = { touched: Touched; told: FlowEvent[] };

export type EventFigures = {
  kind: Kind;
  count: number;
  /** Touches that fell between two readings. */
  unsampled: number;
  recall: number;
  /** Of those told, named rightly. */
  named: number;
  massMedianG: number;
  massP95G: number;
};

export type EventTable = { kinds: EventFigures[]; falsePerDay: number; falseMassPerDay: number };

type Kind = Touched["kind"] | "bump under 100 g";

const kinds: readonly Kind[] = [
  "gather",
  "set",
  "pour",
  "lift",
  "lean",
  "bump",
  "bump under 100 g",
  "spike",
];
/** Not worth telling. */
const slightG = 100;
const earlyMs = 60_000;
const lateMs = 120_000;
const almostEmptyG = 400;

export function createEventScore() {
  const answers: Answer[] = [];
  const unasked: FlowEvent[] = [];
  let treeDays = 0;
  return {
    take({ events, touches }: Followed, days: number): void {
      treeDays += days;
      const asked = new Set<FlowEvent>();
      for (const touched of touches) {
        const told = events.filter((event) => isOf(event, touched));
        for (const event of told) asked.add(event);
        answers.push({ touched, told });
      }
      unasked.push(...events.filter((event) => !asked.has(event)));
    },
    unasked,
    table(): EventTable {
      const byKind = kinds.map((kind) => ({
        kind,
        own: answers.filter(({ touched }) => kindOf(touched) === kind),
      }));
      return {
        kinds: byKind
          .filter(({ own }) => own.length > 0)
          .map(({ kind, own }) => figuresOf(kind, own)),
        falsePerDay: unasked.length / treeDays,
        falseMassPerDay: (unasked.filter(isChange).length + misread(answers).length) / treeDays,
      };
    },
  };
}

function isChange({ kind, deltaG }: FlowEvent): boolean {
  return deltaG !== 0 && kind !== "spike" && kind !== "lifted" && kind !== "leaned-on";
}

/** Told as a change where a touch left all as it was. */
function misread(answers: readonly Answer[]): FlowEvent[] {
  const changed = new Set(
    answers.flatMap(({ touched, told }) => (isChanging(touched) ? told : [])),
  );
  const told = new Set(answers.flatMap((answer) => answer.told));
  return [...told].filter((event) => isChange(event) && !changed.has(event));
}

function isChanging({ kind }: Touched): boolean {
  return kind === "gather" || kind === "set" || kind === "pour";
}

function kindOf({ kind, pressedG }: Touched): Kind {
  return kind === "bump" && Math.abs(pressedG) < slightG ? "bump under 100 g" : kind;
}

function isOf(event: FlowEvent, touched: Touched): boolean {
  return event.atMs <= touched.seenMs + lateMs && event.untilMs >= touched.fromMs - earlyMs;
}

function figuresOf(kind: Kind, answers: readonly Answer[]): EventFigures {
  const told = answers.filter((answer) => answer.told.length > 0);
  const named = told.filter((answer) => isNamed(answer));
  const changes = told.filter((answer) => answer.told.some(({ deltaG }) => deltaG !== 0));
  const errors = changes.map(massErrorG).sort((a, b) => a - b);
  return {
    kind,
    count: answers.length,
    unsampled: answers.filter(({ touched }) => !touched.isSampled).length,
    recall: told.length / answers.length,
    named: named.length / told.length,
    massMedianG: errors[Math.floor(0.5 * errors.length)] ?? Number.NaN,
    massP95G: errors[Math.floor(0.95 * errors.length)] ?? Number.NaN,
  };
}

function massErrorG({ touched, told }: Answer): number {
  return Math.abs(told.reduce((sum, { deltaG }) => sum + deltaG, 0) - touched.deltaG);
}

function isNamed({ touched, told }: Answer): boolean {
  const right = rightNames(touched);
  return told.some(({ kind }) => right.includes(kind));
}

/** What the product would call it if it knew all; a touch of seconds is a spike to a cell that is read twice a minute. */
function rightNames({ kind, beforeG, afterG, deltaG }: Touched): FlowEventKind[] {
  if (kind === "lift") return ["lifted"];
  if (kind === "lean") return ["leaned-on"];
  if (kind === "bump" || kind === "spike") return ["leaned-on", "spike"];
  if (deltaG > 0) return ["load-added"];
  return afterG < almostEmptyG && afterG < beforeG / 2 ? ["emptied"] : ["poured-off"];
}
