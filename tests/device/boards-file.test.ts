// The boards file: what may stand in it, and every refusal.
import { expect, it } from "vitest";
import { parseBoards, readBoards } from "../../device/boards-file.ts";

const board = { name: "hill", port: "/dev/ttyACM0", cells: [{ cell: "cell-1", channel: 0 }] };

function problem(...boards: unknown[]): string {
  const result = parseBoards(JSON.stringify({ boards }));
  return result.ok ? "" : result.problem;
}

it("reads a board on USB and one on the network", () => {
  const far = {
    name: "dell",
    host: "192.168.1.30:3030",
    mux: "0x71",
    cells: [],
    thermometer: { chip: "mcp9808", address: "0x19" },
    barometer: { chip: "bme280" },
    lampPin: 7,
  };
  expect(parseBoards(JSON.stringify({ boards: [board, far] }))).toMatchObject({
    ok: true,
    value: [
      { name: "hill", port: "/dev/ttyACM0", mux: 0x70 },
      { host: { host: "192.168.1.30", port: 3030 }, mux: 0x71, thermometer: { address: 0x19 } },
    ],
  });
});

it.each([
  ["a word it doesn't know", { ...board, speling: 1 }, "speling"],
  ["a board's name of the server's own", { ...board, name: "alarms" }, "requires a board's name"],
  ["both ways to a board", { ...board, host: "a:1" }, "requires either port or host"],
  ["no way to a board", { ...board, port: undefined }, "requires either port or host"],
  ["a channel beyond 7", { ...board, cells: [{ cell: "a", channel: 8 }] }, "<=7"],
  ["an address in words", { ...board, mux: "70" }, "requires an I2C address"],
  [
    "a channel twice",
    {
      ...board,
      cells: [
        { cell: "a", channel: 1 },
        { cell: "b", channel: 1 },
      ],
    },
    "requires each channel once",
  ],
  [
    "a cell twice",
    {
      ...board,
      cells: [
        { cell: "a", channel: 1 },
        { cell: "a", channel: 2 },
      ],
    },
    "requires each cell's name once",
  ],
])("refuses %s", (_, wrong, words) => {
  expect(problem(wrong)).toContain(words);
});

it("refuses two boards of one name, an empty list, and what isn't JSON", () => {
  expect(problem(board, board)).toContain("requires each name once");
  expect(problem()).toContain("requires at least one board");
  expect(parseBoards("{")).toMatchObject({ ok: false });
});

it("says which file it could not read", () => {
  expect(() => readBoards("/nowhere/boards.json")).toThrow("/nowhere/boards.json");
});
