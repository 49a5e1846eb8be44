// Says that the season is closed, where something would be written down.
import type { Season } from "../../shared/wire/seasons.ts";
import { useAsked } from "../asking.ts";
import type { PageFrame } from "../page-frame.ts";
import { hashFromRoute } from "../routes.ts";

/** Whether the present season is closed; false until the server has answered. */
export function useIsClosed({ yard }: PageFrame): boolean {
  const { value } = useAsked<Season[]>("/seasons");
  return (
    value?.some(({ year, closedMs }) => year === yard.season.year && closedMs !== null) ?? false
  );
}

export function ClosedBanner({ year }: { year: number }) {
  return (
    <p class="problem">
      {year} is closed: nothing can be written down until it is opened again under{" "}
      <a href={hashFromRoute({ view: "season" })}>Season</a>.
    </p>
  );
}
