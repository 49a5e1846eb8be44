// The frame around every view: sign-in, heading, ways to the views, units and cautions.
import { useEffect, useState } from "preact/hooks";
import { useUnits } from "./browser-settings.ts";
import { type PageFrame, zoneOfYard } from "./page-frame.ts";
import { Foot } from "./parts/foot.tsx";
import { LinkBar, SimulatedLine } from "./parts/link-bar.tsx";
import { Masthead } from "./parts/masthead.tsx";
import { type Route, routeFromHash } from "./routes.ts";
import { type Store, useStore, useYardNowMs } from "./store.ts";
import { YardPage } from "./views/yard-view.tsx";

function useRoute(): Route {
  const [hash, setHash] = useState(location.hash);
  useEffect(() => {
    const seen = () => {
      setHash(location.hash);
      scrollTo(0, 0);
    };
    addEventListener("hashchange", seen);
    return () => removeEventListener("hashchange", seen);
  }, []);
  return routeFromHash(hash);
}

export function App({ store }: { store: Store }) {
  const state = useStore(store);
  const nowMs = useYardNowMs(state);
  const route = useRoute();
  const [units, setUnits] = useUnits(state.yard?.yard.units ?? "metric");
  if (state.yard === undefined) {
    return <p class="joining">Looking for the server…</p>;
  }
  const page: PageFrame = {
    yard: state.yard,
    nowMs,
    units,
    timeZone: zoneOfYard(state.yard),
    live: state.link === "live",
  };
  return (
    <div class={page.live ? "sheet" : "sheet is-stale"}>
      <LinkBar page={page} freshMs={state.freshMs} />
      <Masthead page={page} route={route} />
      <main>
        <View page={page} route={route} />
      </main>
      <SimulatedLine page={page} />
      <Foot units={units} setUnits={setUnits} />
    </div>
  );
}

function View({ page }: { page: PageFrame; route: Route }) {
  return <YardPage page={page} />;
}
