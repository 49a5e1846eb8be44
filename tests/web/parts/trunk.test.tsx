// @vitest-environment happy-dom
// The bark unrolled: every hole with its zone, on both edges where it wraps around.
import { cleanup, render } from "@testing-library/preact";
import { afterEach, expect, it } from "vitest";
import { holeZones } from "../../../shared/trees/hole.ts";
import { Trunk, type TrunkProps, trunkWords } from "../../../web/parts/trunk.tsx";

afterEach(cleanup);

const [zone] = holeZones;
const props: TrunkProps = {
  girthCm: 140,
  holes: [
    { id: "a", label: "Gate 1", isOld: false, aroundCm: 70, heightCm: 100 },
    { id: "b", label: "Gate 0", isOld: true, aroundCm: 138, heightCm: 90 },
  ],
  zone,
  spot: { aroundCm: 30, heightCm: 110 },
  units: "metric",
  choose: () => undefined,
};

it("draws old and new holes, and the zone of one near the mark on both edges", () => {
  const { container } = render(<Trunk {...props} />);
  expect(container.querySelectorAll(".hole").length).toBe(2);
  expect(container.querySelectorAll(".hole.is-old title")[0]?.textContent).toBe("Gate 0");
  const rects = [...container.querySelectorAll(".zone rect")].map((rect) => ({
    from: Number(rect.getAttribute("x")),
    to: Number(rect.getAttribute("x")) + Number(rect.getAttribute("width")),
  }));
  const covers = (aroundCm: number) =>
    rects.some(({ from, to }) => from < aroundCm && aroundCm < to);
  expect(covers(138)).toBe(true);
  expect(covers(5)).toBe(true);
  expect(covers(30)).toBe(false);
});

it("says in words what it shows", () => {
  expect(trunkWords(props)).toBe(
    "The bark unrolled: 1 tap in use and 1 old hole, next hole 30 cm around, 110 cm up",
  );
  expect(trunkWords({ ...props, holes: [], spot: undefined, units: "us" })).toBe(
    "The bark unrolled: 0 taps in use and 0 old holes, no spot chosen",
  );
});
