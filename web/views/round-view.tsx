// The walk: what to gather now, in what order and in which hand; on the way it is ticked off by the cells.
import { useState } from "preact/hooks";
import { formatVolume } from "../../shared/people/format.ts";
import { roundSentence } from "../../shared/people/round.ts";
import type { CurrentRound, NextRound, RoundAnswer, Sketch } from "../../shared/wire/rounds.ts";
import { callApi } from "../api.ts";
import { useAsked, useSending, useTick } from "../asking.ts";
import { formatMoment } from "../format.ts";
import { labelOfBucket, type PageFrame } from "../page-frame.ts";
import { Cautions } from "../parts/cautions.tsx";
import { ClosedBanner, useIsClosed } from "../parts/closed-banner.tsx";
import { Outcome } from "../parts/outcome.tsx";
import { GatheredByHand, IceThrownOut } from "../parts/round-log.tsx";
import { LeftHanging, RoundTrips } from "../parts/round-trips.tsx";
import { RoundsBefore } from "../parts/rounds-before.tsx";
import { SketchSection } from "../parts/sketch-section.tsx";
import { hashFromRoute } from "../routes.ts";

const lookAgainMs = 2000;

export function RoundPage({ page }: { page: PageFrame }) {
  const [asked, setAsked] = useState(0);
  const tick = useTick(lookAgainMs);
  const current = useAsked<RoundAnswer>("/rounds/current", `${asked} ${tick}`);
  const next = useAsked<NextRound>("/rounds/next", `${asked} ${Math.floor(tick / 5)}`);
  const sketch = useAsked<Sketch>("/sketch", asked);
  const isClosed = useIsClosed(page);
  const changed = () => setAsked((count) => count + 1);
  const round = current.value?.round ?? undefined;
  const shown = round?.plan ?? next.value;
  return (
    <>
      {round !== undefined && <OnTheWay round={round} page={page} changed={changed} />}
      {round === undefined && next.value !== undefined && (
        <BeforeTheWalk round={next.value} page={page} changed={changed} />
      )}
      <Outcome sending={{ problem: current.problem ?? next.problem, done: undefined }} />
      <Cautions topic="round" />
      {round === undefined && next.value !== undefined && (
        <LeftHanging round={next.value} page={page} />
      )}
      <section class="not-printed">
        <h2>Written down by hand</h2>
        {isClosed ? (
          <ClosedBanner year={page.yard.season.year} />
        ) : (
          <>
            <GatheredByHand page={page} changed={changed} />
            <IceThrownOut page={page} />
          </>
        )}
      </section>
      <RoundsBefore page={page} again={asked} />
      {sketch.value !== undefined && (
        <SketchSection sketch={sketch.value} page={page} round={shown} changed={changed} />
      )}
    </>
  );
}

type Walked<Round> = { round: Round; page: PageFrame; changed: () => void };

function BeforeTheWalk({ round, page, changed }: Walked<NextRound>) {
  const sending = useSending();
  const setOut = () =>
    sending.send(async () => {
      await callApi("POST", "/rounds");
      changed();
    });
  const isWorth = round.trips.length > 0;
  return (
    <section aria-label="The next round">
      <p class={isWorth ? "sentence is-calling" : "sentence"}>{roundSentence(round, page.units)}</p>
      <p class="margin-note">{roundFacts(round, page).join(" · ")}</p>
      {isWorth && (
        <p class="pause">
          <button type="button" class="is-main" disabled={sending.busy} onClick={setOut}>
            Set out
          </button>
          <span class="soft">Notices are held while you are out.</span>
        </p>
      )}
      <Outcome sending={sending} />
      <RoundTrips round={round} page={page} />
    </section>
  );
}

function roundFacts({ vessel, guessedDistances, exact }: NextRound, page: PageFrame): string[] {
  return [
    vessel === null
      ? "no vessel is being filled"
      : `into ${vessel.label}, which has room for ${formatVolume(vessel.freeL, page.units)}`,
    ...(guessedDistances
      ? [
          "some distances are guessed: drag each tree to where it stands on the sketch below, or pace them",
        ]
      : []),
    ...(exact ? [] : ["a good order, not surely the shortest: there are many buckets"]),
  ];
}

function OnTheWay({ round, page, changed }: Walked<CurrentRound>) {
  const sending = useSending();
  const end = () =>
    sending.send(async () => {
      await callApi("POST", "/rounds/end");
      changed();
    });
  const planned = round.plan.trips.flatMap(({ stops }) => stops.map(({ bucketId }) => bucketId));
  const done = planned.filter((id) => round.gathered.some(({ bucketId }) => bucketId === id));
  const besides = round.gathered.filter(({ bucketId }) => !planned.includes(bucketId));
  const volumeL = round.gathered.reduce((sum, one) => sum + one.volumeL, 0);
  const isOver = done.length === planned.length;
  return (
    <section aria-label="The round you are on">
      <p class="sentence" role="status">
        {isOver ? "All gathered: " : `${done.length} of ${planned.length} gathered, `}
        {formatVolume(volumeL, page.units)}
        {page.nowMs > round.startedMs && ` since ${formatMoment(round.startedMs, page)}`}.
      </p>
      <p class="pause">
        <button type="button" class="is-main" disabled={sending.busy} onClick={end}>
          I'm back
        </button>
        <span class="soft">
          Gatherings tick themselves off; notices are held until you are back.{" "}
          <a href={hashFromRoute({ view: "vessels" })}>To the vessels</a>
        </span>
      </p>
      <Outcome sending={sending} />
      <RoundTrips round={round.plan} gathered={round.gathered} page={page} />
      {besides.length > 0 && (
        <p>
          Gathered besides:{" "}
          {besides
            .map(
              ({ bucketId, volumeL: besidesL }) =>
                `${labelOfBucket(page.yard, bucketId)} ${formatVolume(besidesL, page.units)}`,
            )
            .join(", ")}
        </p>
      )}
    </section>
  );
}
