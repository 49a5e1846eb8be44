// Where the trees stand: the sketch, one paced distance that gives it its scale, paced ways, and what two hands carry.
import { useState } from "preact/hooks";
import { formatQuantity, quantities } from "../../shared/quantities.ts";
import type { NextRound, Sketch } from "../../shared/wire/rounds.ts";
import { callApi } from "../api.ts";
import { type Sending, useSending } from "../asking.ts";
import { areRight, useEntry } from "../entry.ts";
import type { PageFrame } from "../page-frame.ts";
import { placeName, placesOf } from "../place-name.ts";
import type { SketchPlace } from "../sketch-frame.ts";
import { EntryField } from "./entry-field.tsx";
import { Form, SelectField } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";
import { SketchPaper } from "./sketch.tsx";

type Drawn = { sketch: Sketch; page: PageFrame };
type Change = (body: unknown, words?: string) => void;

export function SketchSection(
  props: Drawn & { round: NextRound | undefined; changed: () => void },
) {
  const { sketch, page, round, changed } = props;
  const sending: Sending = useSending();
  const change: Change = (body, words) =>
    sending.send(async () => {
      await callApi("PATCH", "/sketch", body);
      changed();
    }, words);
  const move = (place: SketchPlace) => change({ places: [place] });
  return (
    <section>
      <h2>Where the trees stand</h2>
      <p class="soft">
        Drag each tree to where it stands, or move it with the arrow keys. The lines are the round.
      </p>
      {sketch.places.length > 0 && (
        <SketchPaper sketch={sketch} round={round} page={page} move={move} />
      )}
      <NotYetDrawn sketch={sketch} page={page} change={change} />
      <PacedForm sketch={sketch} page={page} change={change} />
      <PacedLegs sketch={sketch} page={page} change={change} />
      <CarryForm sketch={sketch} page={page} change={change} />
      <Outcome sending={sending} />
    </section>
  );
}

/** New ones are laid out in rows below home, to be dragged from there. */
export function NotYetDrawn({ sketch, page, change }: Drawn & { change: Change }) {
  const drawn = new Set(sketch.places.map(({ place }) => place));
  const missing = placesOf(page).filter((place) => !drawn.has(place));
  if (missing.length === 0) return null;
  const laidOut = missing.map((place, index) => ({
    place,
    xM: place === "home" ? 0 : ((index % 4) - 1.5) * 15,
    yM: place === "home" ? 0 : 15 + 15 * Math.floor(index / 4),
  }));
  return (
    <p>
      Not on the sketch: {missing.map((place) => placeName(place, page)).join(", ")}.{" "}
      <button type="button" onClick={() => change({ places: laidOut, laidOut: true })}>
        Put them on it
      </button>
    </p>
  );
}

function PacedForm({ sketch, page, change }: Drawn & { change: Change }) {
  const places = placesOf(page);
  const [from, setFrom] = useState("home");
  const [to, setTo] = useState("");
  const toPlace = to === "" ? (places.find((place) => place !== from) ?? "") : to;
  const distance = useEntry({ quantity: quantities.distanceM, units: page.units });
  if (places.length < 2) return null;
  const choices = places.map((place) => ({ value: place, words: placeName(place, page) }));
  const isDrawn = [from, toPlace].every((name) => sketch.places.some((one) => one.place === name));
  const leg = { fromPlace: from, toPlace, distanceM: distance.value };
  const send = (body: unknown, words: string) => {
    if (!areRight([distance])) return;
    change(body, words);
    distance.reset();
  };
  return (
    <Form send={() => send({ paced: [leg] }, "Written down")} label="A paced distance">
      <SelectField label="Paced from" value={from} set={setFrom} choices={choices} />
      <SelectField label="to" value={toPlace} set={setTo} choices={choices} />
      <EntryField label="Distance" entry={distance} />
      <button
        type="button"
        disabled={!isDrawn}
        onClick={() => send({ scale: leg }, "Drawn to scale")}
      >
        Draw the sketch to this scale
      </button>
      <button type="submit">Use it for this way alone</button>
    </Form>
  );
}

function PacedLegs({ sketch, page, change }: Drawn & { change: Change }) {
  if (sketch.paced.length === 0) return null;
  return (
    <ul class="rows">
      {sketch.paced.map((leg) => (
        <li key={`${leg.fromPlace} ${leg.toPlace}`}>
          <span class="row-words">
            {placeName(leg.fromPlace, page)} to {placeName(leg.toPlace, page)}:{" "}
            <b>{formatQuantity(leg.distanceM, quantities.distanceM, page.units)}</b> paced
          </span>
          <span class="row-ways">
            <button
              type="button"
              onClick={() => change({ paced: [{ ...leg, distanceM: null }] }, "Forgotten")}
            >
              Forget it
            </button>
          </span>
        </li>
      ))}
    </ul>
  );
}

function CarryForm({ sketch, page, change }: Drawn & { change: Change }) {
  const carry = useEntry({
    quantity: quantities.loadKg,
    units: page.units,
    before: sketch.carryKg,
  });
  const send = () => {
    if (areRight([carry])) change({ carryKg: carry.value }, "Saved");
  };
  return (
    <Form send={send} label="What two hands carry">
      <EntryField label="You carry at most, both hands" entry={carry} />
      <button type="submit">Save</button>
    </Form>
  );
}
