// Fingers, mouse and wheel on a chart: drag moves it, two fingers or the wheel zoom, a tap or a held finger reads.
import type { SpanControl } from "./span-control.ts";
import { lengthOf, movedSpan, zoomedSpan } from "./time-span.ts";

const slackPx = 6;
const holdMs = 350;
const wheelZoomPerPx = 0.0016;
const doubleTapFactor = 0.4;

type Finger = { x: number; startX: number };
type Hand = {
  fingers: Map<number, Finger>;
  /** Still: neither moved nor held yet. */
  doing: "still" | "moving" | "reading";
  holding: number | undefined;
};

type Place = {
  area: HTMLElement;
  control: SpanControl;
  /** Reads the values at a place of the area, in px from its left edge. */
  read: (leftPx: number) => void;
};

/** Returns the way to stop. */
export function followHands(place: Place): () => void {
  const { area } = place;
  const hand: Hand = { fingers: new Map(), doing: "still", holding: undefined };
  const stop = new AbortController();
  const { signal } = stop;
  area.addEventListener("pointerdown", (event) => press(place, hand, event), { signal });
  area.addEventListener("pointermove", (event) => move(place, hand, event), { signal });
  for (const end of ["pointerup", "pointercancel"] as const) {
    area.addEventListener(end, (event) => release(place, hand, event), { signal });
  }
  area.addEventListener("wheel", (event) => turn(place, event), { signal, passive: false });
  area.addEventListener("dblclick", (event) => zoomAt(place, event.clientX, doubleTapFactor), {
    signal,
  });
  return () => stop.abort();
}

function leftOf({ area }: Place, clientX: number): number {
  return clientX - area.getBoundingClientRect().left;
}

function timeAt(place: Place, clientX: number): number {
  const { fromMs, toMs } = place.control.span();
  return fromMs + (leftOf(place, clientX) / place.area.clientWidth) * (toMs - fromMs);
}

function zoomAt(place: Place, clientX: number, factor: number): void {
  const { control } = place;
  const zoom = { factor, atMs: timeAt(place, clientX) };
  control.show(zoomedSpan(control.span(), zoom, control.limits()), "hand");
}

function moveBy({ area, control }: Place, px: number): void {
  const byMs = (-px / area.clientWidth) * lengthOf(control.span());
  control.show(movedSpan(control.span(), byMs, control.limits()), "hand");
}

function press(place: Place, hand: Hand, event: PointerEvent): void {
  if (event.button !== 0) return;
  place.area.setPointerCapture(event.pointerId);
  hand.fingers.set(event.pointerId, { x: event.clientX, startX: event.clientX });
  hand.doing = hand.fingers.size > 1 ? "moving" : "still";
  clearTimeout(hand.holding);
  if (event.pointerType === "mouse" || hand.fingers.size > 1) return;
  const { clientX } = event;
  hand.holding = window.setTimeout(() => {
    hand.doing = "reading";
    place.read(leftOf(place, clientX));
  }, holdMs);
}

function move(place: Place, hand: Hand, event: PointerEvent): void {
  const finger = hand.fingers.get(event.pointerId);
  if (finger === undefined) return;
  if (hand.doing === "still" && Math.abs(event.clientX - finger.startX) > slackPx) {
    clearTimeout(hand.holding);
    hand.doing = "moving";
  }
  const beforeX = finger.x;
  finger.x = event.clientX;
  if (hand.doing === "reading") place.read(leftOf(place, event.clientX));
  if (hand.doing === "moving") drag(place, hand, { finger, beforeX });
}

function drag(place: Place, hand: Hand, at: { finger: Finger; beforeX: number }): void {
  const other = [...hand.fingers.values()].find((one) => one !== at.finger);
  if (other === undefined) {
    moveBy(place, at.finger.x - at.beforeX);
    return;
  }
  const before = Math.max(20, Math.abs(at.beforeX - other.x));
  const now = Math.max(20, Math.abs(at.finger.x - other.x));
  moveBy(place, (at.finger.x - at.beforeX) / 2);
  zoomAt(place, (at.finger.x + other.x) / 2, before / now);
}

function release(place: Place, hand: Hand, event: PointerEvent): void {
  clearTimeout(hand.holding);
  const wasTap = hand.doing === "still" && event.type === "pointerup";
  if (wasTap && hand.fingers.has(event.pointerId)) place.read(leftOf(place, event.clientX));
  hand.fingers.delete(event.pointerId);
  if (hand.fingers.size === 0) hand.doing = "still";
}

/** A plain turn scrolls the page unless the curves were chosen (clicked or tabbed to). */
function turn(place: Place, event: WheelEvent): void {
  const isSideways = event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY);
  const isChosen = place.area.closest(":focus, :focus-within") !== null;
  if (!isSideways && !event.ctrlKey && !event.metaKey && !isChosen) return;
  event.preventDefault();
  if (isSideways) moveBy(place, -(event.deltaX || event.deltaY));
  else zoomAt(place, event.clientX, Math.exp(event.deltaY * wheelZoomPerPx));
}
