// Home: the sentence, the air, and the pails on their branch.
import {
  formatCount,
  formatTemp,
  formatTimeOfDay,
  formatVolume,
} from "../../shared/people/format.ts";
import { outlookWords } from "../../shared/people/outlook.ts";
import { leastToBoilL } from "../../shared/sap/least.ts";
import type { DoNowPart, YardView } from "../../shared/wire/api.ts";
import { usePailOrder } from "../browser-settings.ts";
import { later } from "../later.tsx";
import type { PageFrame } from "../page-frame.ts";
import { Pail } from "../parts/pail.tsx";
import { Sentence } from "../parts/sentence.tsx";
import { SwitchChoice } from "../parts/switch-choice.tsx";
import { hashFromRoute } from "../routes.ts";
import { byUrgency } from "../urgency.ts";

const FirstSteps = later(async () => (await import("../parts/first-steps.tsx")).FirstSteps);
const YardMap = later(async () => (await import("../parts/yard-map.tsx")).YardMap);

export function YardPage({ page }: { page: PageFrame }) {
  const [order, setOrder] = usePailOrder();
  const buckets = byUrgency(page.yard.buckets, page.nowMs);
  if (isFirstUse(page.yard)) return <FirstSteps page={page} />;
  const todo = (bucketId: string) => todoOf(page.yard.doNow.parts, bucketId);
  return (
    <>
      <Sentence page={page} />
      <p class="margin-note">{yardFacts(page).join(" · ")}</p>
      <OutlookNote yard={page.yard} />
      <NewCells yard={page.yard} />
      <fieldset class="switch pail-order">
        <legend>Pails</legend>
        <SwitchChoice
          name="pails"
          now={order}
          value="urgent"
          words="most urgent first"
          choose={setOrder}
        />
        <SwitchChoice
          name="pails"
          now={order}
          value="yard"
          words="as they stand"
          choose={setOrder}
        />
      </fieldset>
      {order === "yard" ? (
        <YardMap page={page} todoOf={todo} />
      ) : (
        <ul class="pails" aria-label="Buckets, most urgent first">
          {buckets.map((bucket, index) => (
            <Pail
              key={bucket.id}
              bucket={bucket}
              page={page}
              index={index}
              todo={todo(bucket.id)}
            />
          ))}
        </ul>
      )}
    </>
  );
}

/** Until the first bucket of all is weighed. */
export function isFirstUse({ buckets }: YardView): boolean {
  return buckets.every(({ state }) => state === "unheard");
}

function todoOf(parts: DoNowPart[], bucketId: string): DoNowPart["verb"] | undefined {
  const part = parts.find(({ verb, bucketIds }) => verb !== "wait" && bucketIds.includes(bucketId));
  return part?.verb;
}

/** "Wed 15:40 · air 3.5 °C · 61 L in 11 pails · 38 L today". */
export function yardFacts(page: PageFrame): string[] {
  const { boards, buckets, vessels } = page.yard;
  const hung = buckets.filter(({ state }) => state !== "parked");
  const air = boards.find(({ airC }) => airC !== null)?.airC ?? null;
  const sum = (values: (number | null)[]) =>
    values.reduce<number>((total, value) => total + (value ?? 0), 0);
  const hangingL = sum(hung.map(({ volumeL }) => volumeL));
  const waitingL = sum(vessels.map(({ volumeL, parked }) => (parked ? 0 : volumeL)));
  const todayL = sum(hung.map(({ todayL }) => todayL));
  return [
    formatTimeOfDay(page.nowMs, page),
    ...(air === null ? [] : [`air ${formatTemp(air, page.units)}`]),
    `${formatVolume(hangingL, page.units)} in ${formatCount(hung.length, "pail")}`,
    ...(waitingL < leastToBoilL
      ? []
      : [`${formatVolume(waitingL, page.units)} gathered and waiting`]),
    `${formatVolume(todayL, page.units)} run today`,
  ];
}

export function cellsWithoutBucket(yard: YardView) {
  return yard.boards.flatMap(({ cells }) => cells.filter(({ bucketId }) => bucketId === null));
}

/** Warnings are only as good as what they know of the weather to come. */
function OutlookNote({ yard }: { yard: YardView }) {
  const words = outlookWords(yard.buckets.map(({ outlook }) => outlook));
  return words === undefined ? null : <p class="margin-note">{words}</p>;
}

function NewCells({ yard }: { yard: YardView }) {
  const count = cellsWithoutBucket(yard).length;
  if (count === 0) return null;
  return (
    <p class="hint">
      <a href={hashFromRoute({ view: "setup" })}>
        {count === 1 ? "A cell is weighing" : `${count} cells are weighing`} something without a
        bucket: whose is it?
      </a>
    </p>
  );
}
