// When a vessel raises an alarm and, less strictly, keeps it: it is full, or its sap should be boiled.
import { formatLastingDeadline } from "../../../shared/people/format.ts";
import { gFromVolumeL } from "../../../shared/sap/density.ts";
import { leastToHoldG } from "../../../shared/sap/least.ts";
import { msPerHour } from "../../../shared/units.ts";
import type { Judgement, Verdict } from "./episode.ts";

export type VesselSituation = {
  vesselId: string;
  label: string;
  parked: boolean;
  volumeL: number;
  fullFraction: number;
  /** Null when nothing is known of its keeping, or it keeps longer than can be seen. */
  boilByMs: number | null;
};

type Reader = { nowMs: number; timeZone: string };
type Found = { standing: "raise" | "hold"; verdict: Verdict };

const full = { raise: 0.95, hold: 0.9 };
const boil = { raiseMs: 24 * msPerHour, holdMs: 30 * msPerHour, soonMs: 8 * msPerHour };

/** A vessel's alarms carry a subject that no bucket's id can be. */
export function vesselSubject(vesselId: string): string {
  return `vessel/${vesselId}`;
}

/** Full and old are one alarm: the worse severity and both texts. */
export function judgeVessel(vessel: VesselSituation, reader: Reader): Judgement[] {
  if (vessel.parked) return [];
  const found = [judgeOld(vessel, reader), judgeFull(vessel)].filter((one) => one !== null);
  if (found.length === 0) return [];
  const standing = found.some((one) => one.standing === "raise") ? "raise" : "hold";
  const severities = found.map(({ verdict }) => verdict.severity);
  const severity = severities.includes("soon") ? "soon" : "advice";
  const text = found.map(({ verdict }) => verdict.text).join("; ");
  const subject = vesselSubject(vessel.vesselId);
  return [{ standing, condition: { kind: "vessel", subject, severity, text } }];
}

function judgeFull({ label, fullFraction }: VesselSituation): Found | null {
  if (fullFraction < full.hold) return null;
  const over = fullFraction > 1 ? "more was poured into it than it holds" : "choose the next one";
  const verdict: Verdict = { severity: "soon", text: `${label} is full: ${over}` };
  return { standing: fullFraction >= full.raise ? "raise" : "hold", verdict };
}

function judgeOld(vessel: VesselSituation, { nowMs, timeZone }: Reader): Found | null {
  const { label, boilByMs, volumeL } = vessel;
  if (boilByMs === null || gFromVolumeL(volumeL) < leastToHoldG || boilByMs - nowMs > boil.holdMs)
    return null;
  const aheadMs = boilByMs - nowMs;
  const text =
    aheadMs <= 0
      ? `The sap in ${label} has stood too warm for too long: smell it, boil it now or throw it out`
      : `The sap in ${label} should be boiled by ${formatLastingDeadline(boilByMs, { nowMs, timeZone })}`;
  const severity = aheadMs <= boil.soonMs ? "soon" : "advice";
  return { standing: aheadMs <= boil.raiseMs ? "raise" : "hold", verdict: { severity, text } };
}
