// What this browser remembers for itself: units, sound and how the pails are ordered.
import { useState } from "preact/hooks";
import type { Units } from "../shared/wire/api.ts";

export type Keep = Pick<Storage, "getItem" | "setItem">;

/** The units chosen in this browser, else the yard's own. */
export function chosenUnits(keep: Keep, yardUnits: Units): Units {
  const kept = keep.getItem("units");
  return kept === "us" || kept === "metric" ? kept : yardUnits;
}

export function isSoundOn(keep: Keep): boolean {
  return keep.getItem("sound") === "on";
}

/** The browser's own store; one that forgets where the browser forbids it. */
export function browserKeep(): Keep & Pick<Storage, "removeItem"> {
  try {
    localStorage.getItem("units");
    return localStorage;
  } catch {
    return { getItem: () => null, setItem: () => undefined, removeItem: () => undefined };
  }
}

export function useUnits(yardUnits: Units): [Units, (units: Units) => void] {
  const keep = browserKeep();
  const [, redraw] = useState(0);
  const choose = (units: Units) => {
    keep.setItem("units", units);
    redraw((count) => count + 1);
  };
  return [chosenUnits(keep, yardUnits), choose];
}

/** Pails by urgency, or as they stand in the yard. */
export type PailOrder = "urgent" | "yard";

export function usePailOrder(): [PailOrder, (order: PailOrder) => void] {
  const keep = browserKeep();
  const [, redraw] = useState(0);
  const choose = (order: PailOrder) => {
    keep.setItem("pails", order);
    redraw((count) => count + 1);
  };
  return [keep.getItem("pails") === "yard" ? "yard" : "urgent", choose];
}
