// The yard's name and the ways to the views.
import type { PageFrame } from "../page-frame.ts";
import { hashFromRoute, type Route } from "../routes.ts";

export function Masthead({ page, route }: { page: PageFrame; route: Route }) {
  const open = page.yard.alarms.filter(
    ({ clearedAtMs, seenAtMs }) => clearedAtMs === null && seenAtMs === null,
  ).length;
  const ways: { to: Route; words: string }[] = [
    { to: { view: "yard" }, words: "Pails" },
    { to: { view: "compare" }, words: "Trees" },
    { to: { view: "alarms" }, words: open === 0 ? "Alarms" : `Alarms (${open})` },
    { to: { view: "setup" }, words: "Set-up" },
  ];
  return (
    <header class="masthead">
      <h1>{page.yard.yard.name}</h1>
      <nav aria-label="Views">
        {ways.map(({ to, words }) => (
          <a
            key={to.view}
            href={hashFromRoute(to)}
            aria-current={to.view === route.view ? "page" : undefined}
          >
            {words}
          </a>
        ))}
      </nav>
    </header>
  );
}
