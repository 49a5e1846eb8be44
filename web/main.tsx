// Starts the page: the door first, then store, live link and views.
import { render } from "preact";
import type { YardView } from "../shared/wire/api.ts";
import type { Session } from "../shared/wire/viewing.ts";
import { ApiError, callApi } from "./api.ts";
import { App } from "./app.tsx";
import { browserKeep } from "./browser-settings.ts";
import { type Connection, openSocket, startConnection } from "./connection.ts";
import { forgetYard, keptYard, startKeeping } from "./kept-yard.ts";
import { keepPage } from "./offline.ts";
import { askSession, enterByLink, mayEnter, visitFromHash } from "./session.ts";
import { createStore } from "./store.ts";
import "./styles/base.css";
import "./styles/masthead.css";
import "./styles/yard.css";
import "./styles/pails.css";
import "./styles/forms.css";
import "./styles/rounds.css";
import "./styles/views.css";
import "./styles/charts.css";
import "./styles/boil.css";
import "./styles/print.css";
import "./styles/trees.css";
import "./styles/first.css";

const found = document.getElementById("page");
if (found === null) throw new Error("index.html requires an element with id page, got none");
const place: HTMLElement = found;
const store = createStore();
const pageMs = () => performance.now();
let link: Connection | undefined;
const retryMs = 3000;
const keep = browserKeep();
/** Its file's name changes with every build. */
const version = import.meta.url;

async function refresh(): Promise<void> {
  store.act({ type: "yard", view: await callApi<YardView>("GET", "/yard"), pageMs: pageMs() });
}

function draw(session: Session | undefined): void {
  render(<App store={store} door={{ session, entered: lookAgain }} refresh={refresh} />, place);
}

function lookAgain(): void {
  link?.stop();
  link = undefined;
  void look();
}

function lookLater(): void {
  setTimeout(lookAgain, retryMs);
}

/** The secret of a viewing link leaves the address as soon as it is used, also when it no longer holds. */
async function visit(): Promise<void> {
  const link = visitFromHash(location.hash);
  if (link === undefined) return;
  try {
    await enterByLink(link);
  } catch (error) {
    if (!(error instanceof ApiError) || error.status === 0) return;
  }
  history.replaceState(null, "", "#/");
  draw(undefined);
}

/** Asks who is there and opens the link when allowed; asks again while the server is away. */
async function look(): Promise<void> {
  await visit();
  const session = await askSession();
  if (session === undefined) {
    showKept();
    lookLater();
    return;
  }
  draw(session);
  if (!mayEnter(session)) {
    forgetYard(keep);
    return;
  }
  link ??= startConnection({ store, socket: openSocket(), pageMs, refused: lookLater });
}

/** The last known yard while the server doesn't answer. */
function showKept(): void {
  const kept = keptYard(keep, version);
  if (kept === undefined) return;
  const agoMs = Date.now() - kept.savedMs;
  store.act({ type: "kept", view: kept.view, pageMs: pageMs(), agoMs });
}

draw(undefined);
startKeeping({ store, keep, version, nowMs: Date.now });
keepPage(() => store.act({ type: "outdated" }));
lookAgain();
