// @vitest-environment happy-dom
// The whole page on a sample yard: sentence, lost link, units, simulated yard, first steps.
import { cleanup, fireEvent, render, screen } from "@testing-library/preact";
import { afterEach, beforeEach, expect, it, vi } from "vitest";
import type { YardView } from "../../../shared/wire/api.ts";
import type { Session } from "../../../shared/wire/viewing.ts";
import { App } from "../../../web/app.tsx";
import { createStore } from "../../../web/store.ts";
import { hourMs, nowMs, sampleBucket, sampleYard } from "../sample-yard.ts";

beforeEach(() => {
  localStorage.clear();
  location.hash = "";
});
afterEach(cleanup);

const atHome: Session = { signedIn: true, passphraseSet: false, role: "owner" };

function opened(view: YardView, session = atHome) {
  const store = createStore();
  store.act({ type: "yard", view, pageMs: performance.now() });
  const refresh = () => Promise.resolve();
  render(<App store={store} door={{ session, entered: () => undefined }} refresh={refresh} />);
  return store;
}

it("says on top what to do now, in the units chosen in this browser", () => {
  const part = {
    verb: "gather" as const,
    bucketIds: ["gate"],
    byMs: nowMs + hourMs,
    volumeL: 10,
    reason: "brim",
  };
  opened(sampleYard({ doNow: { sentence: "", parts: [part] } }));
  expect(screen.getByRole("status").textContent).toMatch(/^Gather Gate .* before 16:/);
  expect(screen.getByRole("status").textContent).toContain("(10\u00a0L)");
  fireEvent.click(screen.getByLabelText("gal, °F"));
  expect(screen.getByRole("status").textContent).toContain("2.6\u00a0gal");
  expect(localStorage.getItem("units")).toBe("us");
});

it("greys the figures and says how old they are when the link is lost", async () => {
  const store = opened(sampleYard());
  expect(screen.queryByRole("alert")).toBeNull();
  store.act({ type: "lost" });
  expect((await screen.findByRole("alert")).textContent).toContain(
    "The server can't be reached: everything here is from today 15:40",
  );
  expect(document.querySelector(".link-bar")?.textContent).toContain("just now");
  expect(document.querySelector(".sheet.is-stale .pail-volume")?.textContent).toBe("6.0 L");
});

it("says plainly that a yard is simulated and how fast its clock runs", () => {
  const yard = sampleYard();
  opened({ ...yard, yard: { ...yard.yard, simulated: true, clockSpeed: 600 } });
  expect(document.querySelector(".simulated")?.textContent).toBe(
    "Simulated yard: invented trees, the clock runs 600 times as fast.",
  );
});

it("tells an empty yard to start the board first, with this server's own address", async () => {
  const joining = { host: null, port: 1884, tls: false, ownBroker: true, enrolled: false };
  vi.stubGlobal("fetch", () => Promise.resolve(Response.json(joining)));
  opened(sampleYard({ buckets: [] }));
  expect(
    await screen.findByText(
      `BRIMFUL_MQTT_HOST=${location.hostname} BRIMFUL_MQTT_PORT=1884 BRIMFUL_BOARD_SECRET=ITS-SECRET npm run board -- --simulated`.replace(
        "BRIMFUL_MQTT_HOST=localhost ",
        "",
      ),
    ),
  ).toBeTruthy();
  expect(screen.getByText("npm run enrol -- hill")).toBeTruthy();
  vi.unstubAllGlobals();
});

it("asks for the passphrase before it shows anything", () => {
  opened(sampleYard(), { signedIn: false, passphraseSet: true, role: null });
  expect(screen.getByLabelText("Passphrase")).toBeTruthy();
  expect(document.querySelector(".pail")).toBeNull();
});

it("tells who came by a viewing link that they may only look", () => {
  opened(sampleYard(), { signedIn: true, passphraseSet: true, role: "viewer" });
  expect(screen.getByText(/changes are the owner/)).toBeTruthy();
  cleanup();
  opened(sampleYard(), { signedIn: true, passphraseSet: true, role: "owner" });
  expect(screen.queryByText(/changes are the owner/)).toBeNull();
});

it("puts the most urgent pail first", () => {
  const well = sampleBucket({ id: "well", label: "Well", state: "brimful" });
  opened(sampleYard({ buckets: [sampleBucket(), well] }));
  const names = [...document.querySelectorAll(".pail-name")].map((name) => name.textContent);
  expect(names).toEqual(["Well", "Gate"]);
});

it("shows the pails as they stand in the yard, once trees are on the sketch, and remembers the choice", async () => {
  const sketch = {
    places: [
      { place: "home", xM: 0, yM: 0 },
      { place: "tree/t-gate", xM: 20, yM: 10 },
    ],
    paced: [],
    carryKg: 20,
  };
  vi.stubGlobal("fetch", () => Promise.resolve(Response.json(sketch)));
  const stray = sampleBucket({ id: "stray", label: "Stray", tree: null });
  opened(sampleYard({ buckets: [sampleBucket(), stray] }));
  fireEvent.click(screen.getByLabelText("as they stand"));
  await screen.findByRole("button", { name: "Move the trees" });
  expect(document.querySelectorAll(".map > .standing").length).toBe(2);
  expect(document.querySelector(".map .small-pail")?.getAttribute("href")).toBe("#/bucket/gate");
  expect(document.querySelector(".map-others")?.textContent).toContain("Stray");
  expect(localStorage.getItem("pails")).toBe("yard");
  fireEvent.click(screen.getByRole("button", { name: "Move the trees" }));
  expect(screen.getByRole("button", { name: /^Gate maple, .*Arrow keys/ })).toBeTruthy();
  vi.unstubAllGlobals();
});
