// The latest time to light the fire so that the boil is done when it must be.
import { msPerHour } from "../units.ts";

export type StartTime = {
  startByMs: number;
  /** What sets the time: the sap would spoil, or the person must be done. */
  because: "sap" | "person";
  /** How far the start lies in the past; 0 when there is time left. */
  lateMs: number;
};

/**
 * Start = the sooner of boilByMs and doneByMs, less hours. undefined when nothing presses. Throws RangeError for
 * hours below 0.
 */
export function startTime(boil: {
  hours: number;
  nowMs: number;
  boilByMs?: number;
  doneByMs?: number;
}): StartTime | undefined {
  const { hours, nowMs, boilByMs = Infinity, doneByMs = Infinity } = boil;
  if (!(hours >= 0 && Number.isFinite(hours))) {
    throw new RangeError(`a boil requires 0 hours or more, got ${hours}`);
  }
  const endMs = Math.min(boilByMs, doneByMs);
  if (endMs === Infinity) return undefined;
  const startByMs = endMs - hours * msPerHour;
  return {
    startByMs,
    because: boilByMs <= doneByMs ? "sap" : "person",
    lateMs: Math.max(0, nowMs - startByMs),
  };
}
