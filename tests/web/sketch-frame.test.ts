// The sketch on its paper: there and back, and moved by keys.
import fc from "fast-check";
import { expect, it } from "vitest";
import { frameOf, heldFrame, metresAt, shareOf, steppedBy } from "../../web/sketch-frame.ts";

const place = fc.record({
  place: fc.constant("tree/gate"),
  xM: fc.integer({ min: -300, max: 300 }),
  yM: fc.integer({ min: -300, max: 300 }),
});

it("every place lies on the paper with a margin, and is found where it was put", () => {
  fc.assert(
    fc.property(fc.array(place, { minLength: 1, maxLength: 12 }), (places) => {
      const frame = frameOf(places);
      for (const one of places) {
        const share = shareOf(frame, one);
        for (const value of [share.x, share.y]) {
          expect(value).toBeGreaterThan(0.1);
          expect(value).toBeLessThan(0.9);
        }
        const back = metresAt(frame, share);
        expect(back.xM).toBeCloseTo(one.xM, 6);
        expect(back.yM).toBeCloseTo(one.yM, 6);
      }
    }),
  );
});

it("what is dragged off the paper stays at its edge", () => {
  const frame = frameOf([]);
  const off = shareOf(frame, metresAt(frame, { x: 3, y: -1 }));
  expect(off.x).toBeCloseTo(0.98, 2);
  expect(off.y).toBeCloseTo(0.02, 2);
});

it("the paper keeps its size while a place moves on it, and grows when one nears the edge", () => {
  const at = (xM: number) => [
    { place: "home", xM: 0, yM: 0 },
    { place: "tree/gate", xM, yM: 10 },
  ];
  const first = heldFrame(undefined, at(60));
  expect(heldFrame(first, at(65))).toBe(first);
  expect(heldFrame(first, at(50))).toBe(first);
  expect(heldFrame(first, at(90)).widthM).toBeGreaterThan(first.widthM);
  expect(heldFrame(heldFrame(undefined, at(400)), at(50))).toEqual(frameOf(at(50)));
});

it("arrow keys move a metre, with shift five, and other keys nothing", () => {
  const at = { place: "home", xM: 1, yM: 2 };
  expect(steppedBy(at, { key: "ArrowUp", shiftKey: false })).toEqual({ ...at, yM: 1 });
  expect(steppedBy(at, { key: "ArrowRight", shiftKey: true })).toEqual({ ...at, xM: 6 });
  expect(steppedBy(at, { key: "Enter", shiftKey: false })).toBeUndefined();
});
