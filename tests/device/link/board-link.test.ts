// The link to a board that is reset, cut, hung and refused, over one Board for the life of the program.
import { expect, it } from "vitest";
import { mcp9808 } from "../../../device/chips/mcp9808.ts";
import { createMcp9808 } from "../../../device/chips/weather-chips.ts";
import { createSoftBoard } from "../../../device/link/soft-board.ts";
import {
  countsOfChannel,
  createSoftChips,
  openLink,
  openSoft,
  takeReady,
  until,
} from "./soft-rig.ts";

it("reads every cell exactly, and the air below zero", async () => {
  const { link, amplifierOn, chips } = await openSoft();
  expect(link.firmware()).toBe("SoftFirmata 2.4");
  for (let channel = 0; channel < 8; channel += 1) {
    const amplifier = amplifierOn(channel);
    await amplifier.setUp();
    expect(await takeReady(amplifier)).toEqual({
      kind: "ready",
      counts: countsOfChannel(channel),
      saturated: false,
    });
  }
  const readTempC = createMcp9808(link.bus);
  expect(await readTempC()).toBe(-7.5);
  chips.air.tempC = -0.0625;
  expect(await readTempC()).toBe(-0.0625);
});

it("believes no byte of a chip that isn't there, though the firmware answers in full", async () => {
  const { link, chips, amplifierOn } = await openSoft();
  const amplifier = amplifierOn(3);
  await amplifier.setUp();
  chips.amplifiers[3]!.set({ isThere: false });
  await expect(amplifier.take()).rejects.toMatchObject({ problem: "absent" });
  await expect(link.bus.read({ address: 0x48, length: 2 })).rejects.toMatchObject({
    problem: "absent",
  });
  chips.amplifiers[3]!.set({ isThere: true });
  expect(await takeReady(amplifier)).toMatchObject({ counts: countsOfChannel(3) });
});

it("tells a chip that lost its set-up, one that converts nothing and a bridge beyond its range", async () => {
  const { chips, amplifierOn } = await openSoft();
  const amplifier = amplifierOn(5);
  await amplifier.setUp();
  chips.amplifiers[5]!.loseSetUp();
  expect(await amplifier.take()).toEqual({ kind: "lost" });
  await amplifier.setUp();
  expect(await takeReady(amplifier)).toMatchObject({ counts: countsOfChannel(5) });
  chips.amplifiers[5]!.set({ counts: () => 9e9 });
  expect(await takeReady(amplifier)).toEqual({ kind: "ready", counts: 8_388_607, saturated: true });
  chips.amplifiers[5]!.set({ isDead: true });
  await amplifier.take();
  expect(await amplifier.take()).toEqual({ kind: "waiting" });
});

it("chooses its branch anew when the multiplexer forgot it", async () => {
  const { chips, amplifierOn } = await openSoft();
  const amplifier = amplifierOn(2);
  await amplifier.setUp();
  chips.mux.forget();
  expect(await takeReady(amplifier)).toMatchObject({ counts: countsOfChannel(2) });
});

it("notices a reset under a live link, and turns I2C on again", async () => {
  const { board, link, log } = await openSoft();
  board.reset();
  await until(() => link.lives() === 2);
  expect(log.lines.map(({ fields }) => fields["problem"])).toContain("the board was reset");
  const identity = { address: mcp9808.address, register: mcp9808.identityRegister, length: 2 };
  expect(await link.bus.read(identity)).toEqual([0x00, 0x54]);
});

it("dials again after a cut, with the same Board, and fails what was asked in between", async () => {
  const { board, link } = await openSoft();
  board.cut(true);
  expect(link.isUp()).toBe(false);
  await expect(link.bus.read({ address: 0x18, length: 2 })).rejects.toMatchObject({
    problem: "down",
  });
  board.cut(false);
  await until(link.isUp);
  expect(link.lives()).toBe(2);
  expect(await createMcp9808(link.bus)()).toBe(-7.5);
});

it("opens the link anew when the board hangs, which resets it", async () => {
  const { board, link } = await openSoft();
  board.hang();
  await expect(link.bus.read({ address: 0x18, length: 2 })).rejects.toMatchObject({
    problem: "stuck",
  });
  expect(link.problem()).toContain("I2C bus is stuck");
  await until(link.isUp);
  expect(await createMcp9808(link.bus)()).toBe(-7.5);
});

it("comes up whenever in its handshake the link was cut", async () => {
  for (const bytesBeforeCut of [1, 3, 10, 40, 60, 100, 140, 200]) {
    const board = createSoftBoard(createSoftChips().bus);
    let left = bytesBeforeCut;
    const { link } = openLink((events) =>
      board.dial({
        ...events,
        data(bytes) {
          const part = bytes.subarray(0, Math.max(0, left));
          left -= bytes.length;
          if (part.length > 0) events.data(part);
          if (left < 0 && left > -1000) {
            left = Number.POSITIVE_INFINITY;
            board.cut();
          }
        },
      }),
    );
    await link.start();
    await until(link.isUp);
    expect(await createMcp9808(link.bus)()).toBe(-7.5);
    await link.stop();
  }
});

it("keeps a lamp as it was asked to be through a reset", async () => {
  const { board, link } = await openSoft();
  const lamp = link.lamp(7);
  lamp.show("on");
  await until(() => board.pin(7) === 1);
  board.reset();
  expect(board.pin(7)).toBeUndefined();
  await until(() => board.pin(7) === 1);
  lamp.show("off");
  await until(() => board.pin(7) === 0);
});

it("keeps several boards in one process apart: chips, lamps, and the cut of one alone", async () => {
  const hill = await openSoft();
  const dell = await openSoft();
  dell.chips.air.tempC = 12.25;
  dell.chips.amplifiers[2]!.set({ counts: () => 4_321 });
  const amplifiers = [hill.amplifierOn(2), dell.amplifierOn(2)];
  await Promise.all(amplifiers.map((amplifier) => amplifier.setUp()));
  const [onHill, onDell] = await Promise.all(amplifiers.map((amplifier) => takeReady(amplifier)));
  expect(onHill).toMatchObject({ counts: countsOfChannel(2) });
  expect(onDell).toMatchObject({ counts: 4_321 });

  // The library knows a first board by itself: a lamp of the second must not light the first's.
  const lamp = dell.link.lamp(7);
  lamp.show("on");
  await until(() => dell.board.pin(7) === 1);
  expect(hill.board.pin(7)).not.toBe(1);

  hill.board.cut(true);
  await until(() => !hill.link.isUp());
  expect(await createMcp9808(dell.link.bus)()).toBe(12.25);
  expect(dell.link.lives()).toBe(1);
  hill.board.cut(false);
  await until(hill.link.isUp);
  expect(await createMcp9808(hill.link.bus)()).toBe(-7.5);
});
