// The frame around every view: the door, heading, ways to the views, units and cautions.
import { useEffect, useState } from "preact/hooks";
import type { YardView } from "../shared/wire/api.ts";
import type { Session } from "../shared/wire/viewing.ts";
import { useAlarmSound } from "./alarm-sound.ts";
import { callApi } from "./api.ts";
import { useUnits } from "./browser-settings.ts";
import { later } from "./later.tsx";
import { type PageFrame, zoneOfYard } from "./page-frame.ts";
import { Foot } from "./parts/foot.tsx";
import { LinkBar, NewerBar, SimulatedLine, ViewerLine } from "./parts/link-bar.tsx";
import { Masthead } from "./parts/masthead.tsx";
import { type Route, routeFromHash } from "./routes.ts";
import { mayEnter } from "./session.ts";
import { type Store, useStore, useYardNowMs } from "./store.ts";
import { AlarmsPage } from "./views/alarms-view.tsx";
import { SetupPage } from "./views/setup-view.tsx";
import { SignInPage } from "./views/sign-in-view.tsx";
import { YardPage } from "./views/yard-view.tsx";

const BoilPage = later(async () => (await import("./views/boil-view.tsx")).BoilPage);
const BucketPage = later(async () => (await import("./views/bucket-view.tsx")).BucketPage);
const CarePage = later(async () => (await import("./views/care-view.tsx")).CarePage);
const ComparePage = later(async () => (await import("./views/compare-view.tsx")).ComparePage);
const LabelsPage = later(async () => (await import("./views/labels-view.tsx")).LabelsPage);
const RecordPage = later(async () => (await import("./views/record-view.tsx")).RecordPage);
const RoundPage = later(async () => (await import("./views/round-view.tsx")).RoundPage);
const SeasonPage = later(async () => (await import("./views/season-view.tsx")).SeasonPage);
const TreePage = later(async () => (await import("./views/tree-view.tsx")).TreePage);
const TreesPage = later(async () => (await import("./views/trees-view.tsx")).TreesPage);
const VesselsPage = later(async () => (await import("./views/vessels-view.tsx")).VesselsPage);

export type Door = {
  session: Session | undefined;
  /** Called once the person is signed in. */
  entered: () => void;
};

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

/** A server that doesn't know the yard's time zone learns it from the first browser. */
function useZoneTold(yard: YardView | undefined, refresh: () => Promise<void>): void {
  const isAsked = yard !== undefined && yard.yard.timeZone === null;
  useEffect(() => {
    if (!isAsked) return;
    const { timeZone } = Intl.DateTimeFormat().resolvedOptions();
    callApi("PATCH", "/yard", { timeZone }).then(refresh, () => undefined);
  }, [isAsked, refresh]);
}

function useTitle(yardName: string | undefined, isLost: boolean): void {
  useEffect(() => {
    const title = yardName === undefined ? "Brimful" : `${yardName}, Brimful`;
    document.title = isLost ? `No link: ${title}` : title;
  }, [yardName, isLost]);
}

export function App(props: { store: Store; door: Door; refresh: () => Promise<void> }) {
  const { store, door, refresh } = props;
  const state = useStore(store);
  const nowMs = useYardNowMs(state);
  const route = useRoute();
  const [units, setUnits] = useUnits(state.yard?.yard.units ?? "metric");
  useZoneTold(state.yard, refresh);
  useTitle(state.yard?.yard.name, state.link === "lost");
  if (door.session !== undefined && !mayEnter(door.session)) {
    return <SignInPage entered={door.entered} />;
  }
  if (state.yard === undefined) return <p class="joining">Looking for the server…</p>;
  const live = state.link === "live";
  const page: PageFrame = {
    yard: state.yard,
    nowMs,
    units,
    timeZone: zoneOfYard(state.yard),
    live,
    mayChange: door.session?.role === "owner",
    refresh,
  };
  return (
    <div class={sheetClass(live, page.mayChange)}>
      <LinkBar page={page} freshMs={state.freshMs} />
      {state.isOutdated && <NewerBar />}
      <Masthead page={page} route={route} />
      <SimulatedLine page={page} />
      {door.session?.role === "viewer" && <ViewerLine />}
      <main>
        <View page={page} route={route} session={door.session} />
      </main>
      <Foot units={units} setUnits={setUnits} />
    </div>
  );
}

function sheetClass(live: boolean, mayChange: boolean): string {
  return ["sheet", !live && "is-stale", !mayChange && "is-viewer"].filter(Boolean).join(" ");
}

type ViewParts = { page: PageFrame; route: Route; session: Session | undefined };

function View({ page, route, session }: ViewParts) {
  const { pausedUntilMs } = page.yard.yard;
  const sound = useAlarmSound(
    page.yard.alarms,
    pausedUntilMs !== null && pausedUntilMs > page.nowMs,
  );
  switch (route.view) {
    case "yard":
      return <YardPage page={page} />;
    case "bucket":
      return <BucketPage page={page} id={route.id} />;
    case "tree":
      return <TreePage page={page} id={route.id} />;
    case "trees":
      return <TreesPage page={page} />;
    case "round":
      return <RoundPage page={page} />;
    case "vessels":
      return <VesselsPage page={page} />;
    case "compare":
      return <ComparePage page={page} />;
    case "record":
      return <RecordPage page={page} />;
    case "boil":
      return <BoilPage page={page} />;
    case "labels":
      return <LabelsPage page={page} id={route.id} />;
    case "season":
      return <SeasonPage page={page} id={"id" in route ? route.id : undefined} />;
    case "alarms":
      return <AlarmsPage page={page} sound={sound} />;
    case "care":
      return <CarePage page={page} />;
    case "setup":
      return <SetupPage page={page} session={session} />;
  }
}
