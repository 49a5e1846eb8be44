// The commands that bring a board in, for each kind of door, and the steps to a first weighed bucket.
import { describe, expect, it } from "vitest";
import {
  cellToHang,
  elsewhereCommands,
  firstSteps,
  joiningCommands,
} from "../../../shared/people/joining.ts";
import type { BoardView, BucketView } from "../../../shared/wire/api.ts";
import type { Joining } from "../../../shared/wire/joining.ts";

const here: Joining = {
  host: "127.0.0.1",
  port: 1883,
  tls: false,
  ownBroker: true,
  enrolled: false,
};
const typed = (joining: Joining, pageHost: string) =>
  joiningCommands(joining, pageHost).map(({ command }) => command);

describe("what to type", () => {
  it("on the server's own machine is the board program alone", () => {
    expect(typed(here, "localhost")).toEqual([
      "npm run board -- --boards boards.json",
      "npm run board -- --simulated",
    ]);
    expect(typed({ ...here, port: 2883, enrolled: true }, "127.0.0.1")[1]).toBe(
      "BRIMFUL_MQTT_PORT=2883 BRIMFUL_BOARD_SECRET=ITS-SECRET npm run board -- --simulated",
    );
  });

  it("for a page from elsewhere opens a broker that listens on its own machine alone", () => {
    expect(typed(here, "192.0.2.7").slice(0, 3)).toEqual([
      "npm run enrol -- hill",
      "BRIMFUL_MQTT_HOST=0.0.0.0 npm start",
      "BRIMFUL_MQTT_HOST=192.0.2.7 BRIMFUL_BOARD_SECRET=ITS-SECRET npm run board -- --boards boards.json",
    ]);
  });

  it("carries the address the page came from where the broker is heard on all", () => {
    const open = { ...here, host: null, enrolled: true };
    expect(typed(open, "yard.local")[1]).toContain("BRIMFUL_MQTT_HOST=yard.local ");
    expect(typed({ ...open, tls: true }, "yard.local")[1]).toBe(
      "NODE_EXTRA_CA_CERTS=authority.crt BRIMFUL_MQTT_URL=mqtts://yard.local:1883 BRIMFUL_BOARD_SECRET=ITS-SECRET npm run board -- --boards boards.json",
    );
  });

  it("leaves enrolling to another broker's own list", () => {
    const other = { ...here, ownBroker: false, host: "broker.local" };
    expect(typed(other, "127.0.0.1")).toEqual([
      "BRIMFUL_MQTT_HOST=broker.local npm run board -- --boards boards.json",
      "BRIMFUL_MQTT_HOST=broker.local npm run board -- --simulated",
    ]);
    expect(elsewhereCommands(other)).toEqual([]);
  });

  it("says how a board on another machine would come in", () => {
    expect(elsewhereCommands(here).map(({ where }) => where)).toEqual([
      "server",
      "server",
      "board",
    ]);
    expect(elsewhereCommands({ ...here, host: null })).toEqual([]);
  });
});

describe("the first steps", () => {
  const cell = (massKg: number | null) => ({
    cell: "hill/cell-1",
    massKg,
    lastReadingMs: 1,
    fault: null,
    bucketId: null,
  });
  const board = (massKg: number | null) =>
    ({ name: "hill", online: true, cells: [cell(massKg)] }) as unknown as BoardView;
  const bucket = (volumeL: number | null) =>
    ({
      label: "Gate",
      cell: "hill/cell-1",
      volumeL,
      state: volumeL === null ? "unheard" : "resting",
    }) as BucketView;
  const done = (boards: BoardView[], buckets: BucketView[] = []) =>
    firstSteps(boards, buckets).flatMap((step) => (step.done ? [step.key] : []));

  it("are marked one after another as the board is heard, loaded, hung and weighed", () => {
    expect(done([])).toEqual([]);
    expect(done([board(null)])).toEqual(["heard"]);
    expect(done([board(0.01)])).toEqual(["heard"]);
    expect(done([board(1.1)])).toEqual(["heard", "loaded"]);
    expect(done([board(1.1)], [bucket(null)])).toEqual(["heard", "loaded", "hung"]);
    expect(done([board(1.1)], [bucket(0)])).toEqual(["heard", "loaded", "hung", "weighed"]);
  });

  it("say in words what stands and what is next", () => {
    const words = firstSteps([board(0)], []).map((step) => step.words);
    expect(words[0]).toBe("Board hill is heard");
    expect(words[1]).toBe("No cell carries a bucket yet");
  });

  it("name every cell that carries something, and ask about one of them until it is hung", () => {
    const hill = (masses: (number | null)[]) => {
      const cells = masses.map((massKg, at) => ({ ...cell(massKg), cell: `hill/cell-${at + 1}` }));
      return [{ name: "hill", online: true, cells } as unknown as BoardView];
    };
    const words = (masses: (number | null)[]) => firstSteps(hill(masses), [])[1]!.words;
    expect(words([1, 1.3])).toBe("hill/cell-1, hill/cell-2 carry something");
    expect(words([0, 1.3])).toBe("hill/cell-2 carries something");
    expect(cellToHang(hill([1, 1.3]))?.cell).toBe("hill/cell-2");
    // Another one grows heavier while somebody fills in the form.
    expect(cellToHang(hill([1.9, 1.3]), "hill/cell-2")?.cell).toBe("hill/cell-2");
    expect(cellToHang(hill([1.9, 0]), "hill/cell-2")?.cell).toBe("hill/cell-1");
    expect(cellToHang([])).toBeUndefined();
  });
});
