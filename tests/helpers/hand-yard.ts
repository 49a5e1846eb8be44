// Parts of a hand-made yard for the HTTP side: a vessel, a barometer that was heard.
import type { VesselView } from "../../shared/wire/vessels.ts";
import type { HttpRig } from "./http-rig.ts";
import { startMs } from "./store-rig.ts";

/** A vessel in the shade that holds so much of its 100 L. */
export function vesselView(id: string, volumeL: number): VesselView {
  return {
    id,
    label: id,
    capacityL: 100,
    place: "shade",
    parked: false,
    filling: false,
    useFirst: false,
    volumeL,
    probe: null,
    fullFraction: volumeL / 100,
    sinceMs: null,
    newestMs: null,
    dirty: true,
    washedMs: null,
    tempC: 6,
    tempFrom: "place",
    keepingMissing: null,
    shares: [],
    sugarBrix: 2.2,
    sugarKnownL: volumeL,
    alarms: [],
    keeping: null,
  };
}

/** A board with a barometer that was heard `agoMs` ago. */
export function hearPressure(http: HttpRig, pressurePa: number, agoMs = 0) {
  const atMs = startMs - agoMs;
  http.rig.boards.heard("hill", atMs);
  http.rig.readings.insertValue({ board: "hill", quantity: "pressure", atMs, value: pressurePa });
  http.view.boards.push({
    name: "hill",
    online: true,
    program: null,
    lastHeardMs: atMs,
    airC: null,
    pressurePa,
    supplyV: null,
    cells: [],
    probes: [],
  });
}
