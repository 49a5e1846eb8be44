// The trips of a round in walking order: what to pour, what is then in each hand, how far it is, and what is done.
import { formatList, formatMass, formatVolume } from "../../shared/people/format.ts";
import { formatQuantity, quantities } from "../../shared/quantities.ts";
import type { CurrentRound, NextRound, RoundStop, RoundTrip } from "../../shared/wire/rounds.ts";
import { formatMoment } from "../format.ts";
import { labelOfBucket, type PageFrame } from "../page-frame.ts";
import { hashFromRoute } from "../routes.ts";

type Gathered = CurrentRound["gathered"];

export function RoundTrips(props: { round: NextRound; gathered?: Gathered; page: PageFrame }) {
  const { round, gathered, page } = props;
  return (
    <div class="trips">
      {round.trips.map((trip, index) => (
        <Trip
          key={trip.stops.map(({ bucketId }) => bucketId).join(" ")}
          trip={trip}
          number={index + 1}
          gathered={gathered}
          page={page}
        />
      ))}
    </div>
  );
}

function Trip(props: {
  trip: RoundTrip;
  number: number;
  gathered: Gathered | undefined;
  page: PageFrame;
}) {
  const { trip, number, gathered, page } = props;
  const metres = (distanceM: number) =>
    formatQuantity(distanceM, { ...quantities.distanceM, figures: 2 }, page.units);
  return (
    <section class="trip">
      <h3>
        Trip {number}: {formatMass(trip.loadKg, page.units)}, {Math.ceil(trip.minutes)} min
      </h3>
      <ol>
        {trip.stops.map((stop) => (
          <Stop
            key={stop.bucketId}
            stop={stop}
            way={metres(stop.distanceM)}
            done={gathered?.filter(({ bucketId }) => bucketId === stop.bucketId)}
            page={page}
          />
        ))}
        <li class="trip-home soft">Back with it, {metres(trip.homeM)}</li>
      </ol>
    </section>
  );
}

function Stop(props: {
  stop: RoundStop;
  way: string;
  done: Gathered | undefined;
  page: PageFrame;
}) {
  const { stop, way, done = [], page } = props;
  const { units } = page;
  const isDone = done.length > 0;
  return (
    <li class={isDone ? "stop is-done" : "stop"}>
      <span class="stop-tick" aria-hidden="true">
        {isDone ? "✓" : ""}
      </span>
      <span class="row-words">
        <a class="row-name" href={hashFromRoute({ view: "bucket", id: stop.bucketId })}>
          {labelOfBucket(page.yard, stop.bucketId)}
        </a>{" "}
        <b>{formatVolume(stop.volumeL, units)}</b>
        <span class="soft">
          {stop.isGuess ? "about " : ""}
          {way} on, then {formatMass(stop.eachHandKg, units)} in each hand · {stop.why}
          {stop.leavesL > 0.1 && ` · ${formatVolume(stop.leavesL, units)} stays: too heavy`}
        </span>
        {done.map(({ atMs, volumeL, by }) => (
          <span class="stop-done" key={atMs}>
            Gathered {formatVolume(volumeL, units)}, {formatMoment(atMs, page)},{" "}
            {by === "cell" ? "noticed by the cell" : "written by hand"}
          </span>
        ))}
      </span>
    </li>
  );
}

/** What stays, told once for all buckets of one reason. */
export function LeftHanging({ round, page }: { round: NextRound; page: PageFrame }) {
  if (round.left.length === 0) return null;
  const reasons = [...new Set(round.left.map(({ why }) => why))];
  const words = ({ bucketId, volumeL }: NextRound["left"][number]) => {
    const litres = volumeL === null ? "" : ` ${formatVolume(volumeL, page.units)}`;
    return `${labelOfBucket(page.yard, bucketId)}${litres}`;
  };
  return (
    <section>
      <h3>Left hanging</h3>
      <ul class="rows">
        {reasons.map((reason) => (
          <li key={reason}>
            <span class="row-words">
              <b>{formatList(round.left.filter(({ why }) => why === reason).map(words))}</b>
              <span class="soft">{reason}</span>
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}
