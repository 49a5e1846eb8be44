// The span that charts share: told once a frame, and left alone by the going of time while a hand holds it.
import { expect, it } from "vitest";
import { createSpanControl } from "../../../web/charts/span-control.ts";

function control() {
  const frames: (() => void)[] = [];
  const limits = { fromMs: 0, toMs: 1000, shortestMs: 10 };
  const made = createSpanControl({ span: { fromMs: 0, toMs: 100 }, limits }, (work) =>
    frames.push(work),
  );
  const told: [number, string][] = [];
  made.watch(({ fromMs }, by) => told.push([fromMs, by]));
  const nextFrame = () => {
    for (const work of frames.splice(0)) work();
  };
  return { ...made, told, nextFrame };
}

it("tells the last of several moves, once a frame", () => {
  const { show, told, nextFrame } = control();
  show({ fromMs: 10, toMs: 110 }, "hand");
  show({ fromMs: 20, toMs: 120 }, "hand");
  expect(told).toEqual([]);
  nextFrame();
  expect(told).toEqual([[20, "hand"]]);
});

it("is not taken out of a hand by the time that goes on, and follows it again once let go", () => {
  const { show, letGo, span, told, nextFrame } = control();
  show({ fromMs: 200, toMs: 300 }, "hand");
  show({ fromMs: 5, toMs: 105 }, "choice");
  nextFrame();
  show({ fromMs: 6, toMs: 106 }, "choice");
  nextFrame();
  expect(span().fromMs).toBe(200);
  expect(told).toEqual([[200, "hand"]]);
  letGo();
  show({ fromMs: 7, toMs: 107 }, "choice");
  nextFrame();
  expect(told.at(-1)).toEqual([7, "choice"]);
});
