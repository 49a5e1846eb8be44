// The yard's name and the ways to the views: daily ones in sight, the others behind "More" where room is short.
import { useEffect, useRef, useState } from "preact/hooks";
import type { PageFrame } from "../page-frame.ts";
import { hashFromRoute, places, type Route } from "../routes.ts";

type Place = (typeof places)[number];

export function Masthead({ page, route }: { page: PageFrame; route: Route }) {
  return (
    <header class="masthead">
      <h1>{page.yard.yard.name}</h1>
      <Ways openAlarms={openAlarmsOf(page)} route={route} />
    </header>
  );
}

function openAlarmsOf(page: PageFrame): number {
  return page.yard.alarms.filter(
    ({ clearedAtMs, seenAtMs }) => clearedAtMs === null && seenAtMs === null,
  ).length;
}

function Ways({ openAlarms, route }: { openAlarms: number; route: Route }) {
  const [open, setOpen] = useState(false);
  const more = useRef<HTMLButtonElement>(null);
  const { view } = route;
  useEffect(() => setOpen(false), [view]);
  const way = (place: Place) => (
    <Way key={place.view} place={place} openAlarms={openAlarms} isHere={place.view === view} />
  );
  const rest = places.filter(({ daily }) => !daily);
  const isHere = rest.some((place) => place.view === view);
  const close = (event: KeyboardEvent) => {
    if (event.key !== "Escape" || !open) return;
    setOpen(false);
    more.current?.focus();
  };
  return (
    <nav aria-label="Views" onKeyDown={close}>
      <ul class="ways">
        {places.filter(({ daily }) => daily).map(way)}
        <li class="more">
          <button
            type="button"
            ref={more}
            class={isHere ? "is-here" : ""}
            aria-expanded={open}
            aria-controls="more-ways"
            onClick={() => setOpen(!open)}
          >
            More
          </button>
        </li>
      </ul>
      <ul class={open ? "ways rest is-open" : "ways rest"} id="more-ways">
        {rest.map(way)}
      </ul>
    </nav>
  );
}

function Way(props: { place: Place; openAlarms: number; isHere: boolean }) {
  const { place, openAlarms, isHere } = props;
  const count = place.view === "alarms" ? openAlarms : 0;
  return (
    <li>
      <a
        href={hashFromRoute({ view: place.view })}
        aria-current={isHere ? "page" : undefined}
        title={place.about}
      >
        {place.words}
        {count > 0 && (
          <span class="count">
            {count}
            <span class="unseen"> open</span>
          </span>
        )}
        <span class="about" aria-hidden="true">
          {place.about}
        </span>
      </a>
    </li>
  );
}
