// The boil in people's words: when to draw off, how long, how much wood, how near the pan is.
import { formatQuantity, quantities } from "../quantities.ts";
import { fahrenheitFromC, msPerHour, poundsFromKg } from "../units.ts";
import type { Units } from "../wire/api.ts";
import type { Boil, BoilEntry } from "../wire/boils.ts";
import type { BoilPlan, BoilSetup } from "../wire/syrup.ts";
import {
  formatAge,
  formatDeadline,
  formatTimeOfDay,
  formatVolume,
  type ReaderTime,
} from "./format.ts";

export const fuelWords: Record<BoilSetup["fuel"], string> = {
  wood: "wood",
  propane: "propane",
  electricity: "electricity",
};

export const archWords: Record<BoilSetup["arch"], string> = {
  openFire: "open fire or backyard arch (about 25 %)",
  goodArch: "good arch (about 35 %)",
  gasifyingArch: "gasifying arch (about 50 %)",
};

export const woodWords: Record<BoilSetup["wood"], string> = {
  sugarMaple: "sugar maple",
  redMaple: "red maple",
  redOak: "red oak",
  whiteOak: "white oak",
  beech: "beech",
  yellowBirch: "yellow birch",
  whiteAsh: "white ash",
  aspen: "aspen",
  whitePine: "white pine",
  hemlock: "hemlock",
};

const minutesPerHour = 60;
const stateWords: Record<NonNullable<Boil["watch"]>["state"], string> = {
  boiling: "It boils",
  near: "It gets near: look often",
  watch: "Watch it now, and don't leave it",
  ready: "Ready: draw off now",
  over: "Past the mark: take it off the heat",
};

/** "103.8 °C" or "218.8 °F": tenths in both, for a tenth is half a Brix. */
export function formatPanTemp(tempC: number, units: Units): string {
  return units === "us" ? `${fahrenheitFromC(tempC).toFixed(1)} °F` : `${tempC.toFixed(1)} °C`;
}

/** A difference of temperatures: "4.2 °C", "7.6 °F". */
export function formatTempRise(riseC: number, units: Units): string {
  return units === "us" ? `${(riseC * 1.8).toFixed(1)} °F` : `${riseC.toFixed(1)} °C`;
}

/** "2.26 L" or "0.60 gal": syrup is dear, so hundredths below 10. */
export function formatSyrup(volumeL: number, units: Units): string {
  if (units === "us" || volumeL >= 10) return formatVolume(volumeL, units);
  return `${volumeL.toFixed(2)} L`;
}

/** "7 h 10 min", "40 min". */
export function formatHours(hours: number): string {
  const minutes = Math.round(hours * minutesPerHour);
  const whole = Math.floor(minutes / minutesPerHour);
  const rest = minutes % minutesPerHour;
  if (whole === 0) return `${rest} min`;
  return rest === 0 || whole >= 24 ? `${whole} h` : `${whole} h ${rest} min`;
}

/** How fast a pan loses water: "41 mm an hour", "1.6 in an hour". */
export function formatEvaporation(mmPerH: number, units: Units): string {
  return units === "us"
    ? `${(mmPerH / 25.4).toFixed(1)} in an hour`
    : `${mmPerH.toFixed(0)} mm an hour`;
}

export function formatPressure(pressurePa: number, units: Units): string {
  return formatQuantity(Math.round(pressurePa / 10) * 10, quantities.pressurePa, units);
}

const cPerTenthF = 0.1 / 1.8;
const hpaPerTenthInHg = 3.386389;

/** How sure the finishing temperature is, and what a small error costs, in the person's units. */
export function sureWords({ finishing }: Pick<BoilPlan, "finishing">, units: Units): string {
  const { spreadBrix, brixPerC, cPerHpa } = finishing;
  const isUs = units === "us";
  const tenth = (brixPerC * (isUs ? cPerTenthF : 0.1)).toFixed(1);
  const air = (cPerHpa * brixPerC * (isUs ? hpaPerTenthInHg : 10)).toFixed(1);
  return `Sure to ±${spreadBrix.toFixed(1)} Brix: ${isUs ? "0.1 °F" : "0.1 °C"} is ${tenth} Brix, ${isUs ? "0.1 inHg" : "10 hPa"} of pressure ${air}.`;
}

/** What the chosen rules allow, up to which temperature, and where syrup begins to crystallise. */
export function lawWords({ finishing }: Pick<BoilPlan, "finishing">, units: Units): string {
  const { lawName, lowestBrix, highestBrix, highestTempC, thermometer } = finishing;
  const topC = highestTempC + (thermometer?.offsetC ?? 0);
  return `${lawName}: ${lowestBrix.toFixed(1)} to ${highestBrix.toFixed(1)} Brix, at most ${formatPanTemp(topC, units)}; above about 67 Brix it may crystallise in the cold.`;
}

/** Where the pressure comes from, and how far to believe it. */
export function pressureWords(plan: BoilPlan, units: Units, nowMs: number): string {
  const { pressure, finishing } = plan;
  const figure = formatPressure(pressure.pressurePa, units);
  const slack = ((pressure.spreadPa / 100) * finishing.cPerHpa * finishing.brixPerC).toFixed(1);
  const isZeroed = finishing.thermometer !== null && !finishing.thermometer.old;
  const madeUp = "the thermometer zeroed today makes up for it.";
  switch (pressure.from) {
    case "typed":
      return `Air pressure ${figure}, as typed.`;
    case "board":
      return `Air pressure ${figure} by the barometer of ${pressure.board}, ${formatAge(nowMs - (pressure.heardMs ?? nowMs))}.`;
    case "report":
      return `Air pressure ${figure}, from the reported sea-level pressure and your altitude.`;
    case "altitude":
      if (isZeroed) return `Air pressure about ${figure}, from your altitude alone: ${madeUp}`;
      return `Air pressure about ${figure}, from your altitude alone: the weather may make it ${slack} Brix wrong. Zero the thermometer in boiling water.`;
    case "standard":
      if (isZeroed) return `No barometer and no altitude, ${figure} is only supposed: ${madeUp}`;
      return `No barometer and no altitude: ${figure} is only supposed, and the syrup may come out ${slack} Brix wrong. Zero the thermometer in boiling water, or set the altitude.`;
  }
}

/** Whose figure the large one is. */
export function thermometerWords(plan: BoilPlan, units: Units, nowMs: number): string {
  const { thermometer } = plan.finishing;
  if (thermometer === null) {
    return "on a thermometer without error: zero yours in boiling water first";
  }
  const { offsetC } = thermometer;
  const off = formatTempRise(Math.abs(offsetC), units);
  const sign = offsetC >= 0 ? "high" : "low";
  const age = formatAge(nowMs - thermometer.atMs);
  return thermometer.old
    ? `on your thermometer (${off} ${sign}, zeroed ${age}: zero it again today)`
    : `on your thermometer (${off} ${sign}, zeroed ${age})`;
}

/** "52 kg (36 to 75 kg)" and the like of the chosen fuel. */
export function fuelNeedWords({ fuel }: BoilPlan, units: Units): string {
  const range = (write: (amount: number) => string) => `${write(fuel.low)} to ${write(fuel.high)}`;
  switch (fuel.chosen) {
    case "wood":
      return `${woodWords[fuel.wood.wood]}, ${formatFuel(fuel.wood.woodKg, "wood", units)} (${range((kg) => formatFuel(kg, "wood", units))}), ${formatWoodPile(fuel.wood.stackedM3, units)}`;
    case "propane":
      return `propane, ${formatFuel(fuel.propane.propaneKg, "propane", units)} (${range((kg) => formatFuel(kg, "propane", units))})`;
    case "electricity":
      return `electricity, ${formatFuel(fuel.electricity.energyKwh, "electricity", units)} (${range((kwh) => formatFuel(kwh, "electricity", units))})`;
  }
}

/** kg or lb of wood and propane, kWh of electricity. */
export function formatFuel(amount: number, fuel: BoilSetup["fuel"], units: Units): string {
  if (fuel === "electricity") return `${rounded(amount)} kWh`;
  return units === "us" ? `${rounded(poundsFromKg(amount))} lb` : `${rounded(amount)} kg`;
}

function formatWoodPile(stackedM3: number, units: Units): string {
  return units === "us"
    ? `${(stackedM3 / 3.6246).toFixed(3)} of a cord`
    : `${stackedM3.toFixed(2)} m³ stacked`;
}

function rounded(amount: number): string {
  return amount < 9.95 ? amount.toFixed(1) : String(Math.round(amount));
}

/** When to light the fire, and why; or that a person's time can't be kept even at the pan's best. */
export function startWords(start: Start, time: ReaderTime, leastHours = 0): string {
  const { boilByMs, doneByMs } = start;
  if (boilByMs !== null && boilByMs <= time.nowMs) {
    return `The sap's time was up ${formatTimeOfDay(boilByMs, time)}: smell it first, and boil it now or throw it out`;
  }
  const leastEndMs = time.nowMs + leastHours * msPerHour;
  if (start.because === "person" && leastEndMs > (doneByMs ?? leastEndMs)) {
    return `It can't be done by ${formatDeadline(doneByMs ?? 0, time)}: it takes ${formatHours(leastHours)} at the least. Boil a part of it, or plan for later`;
  }
  const why =
    start.because === "sap"
      ? `the sap should be boiled by ${formatDeadline(boilByMs ?? start.startByMs, time)}`
      : `to be done by ${formatDeadline(doneByMs ?? start.startByMs, time)}`;
  if (start.lateMs === 0)
    return `Light the fire by ${formatDeadline(start.startByMs, time)}, ${why}`;
  if (mayWait(start)) {
    return `It may take longer than there is, ${why}: the sap keeps until ${formatDeadline(boilByMs ?? 0, time)}, so it may wait for another day`;
  }
  return `Light the fire now: it may take longer than there is, ${why}`;
}

type Start = NonNullable<BoilPlan["start"]>;

const nightMs = 12 * msPerHour;

/** Whether the sap keeps over the night after a person has to be done. */
function mayWait({ because, boilByMs, doneByMs }: Start): boolean {
  if (because !== "person" || boilByMs === null || doneByMs === null) return false;
  return boilByMs - doneByMs > nightMs;
}

/** How near the pan is: "Watch it now, and don't leave it: 64.1 Brix 3 min ago, about 6 min to go". */
export function watchWords(watch: NonNullable<Boil["watch"]>, nowMs: number): string {
  const brix = `${watch.brix.toFixed(1)} Brix ${formatAge(nowMs - watch.atMs)}`;
  const isUnderWay = watch.state !== "ready" && watch.state !== "over";
  if (!isUnderWay || watch.minutesLeft === null) return `${stateWords[watch.state]}: ${brix}`;
  if (watch.minutesLeft < 0.5) return `${stateWords[watch.state]}: ${brix}, due now: look at it`;
  return `${stateWords[watch.state]}: ${brix}, about ${formatHours(watch.minutesLeft / minutesPerHour)} to go`;
}

/** One line of a boil's log. */
export function entryWords(entry: BoilEntry, fuel: BoilSetup["fuel"], units: Units): string {
  const brix = entry.brix === null ? "" : ` of ${entry.brix.toFixed(1)} Brix`;
  switch (entry.kind) {
    case "sap":
      return `${formatVolume(entry.volumeL ?? 0, units)} of sap poured in${brix}`;
    case "pan":
      return `pan at ${formatPanTemp(entry.tempC ?? 0, units)}`;
    case "pressure":
      return `air pressure ${formatPressure(entry.pressurePa ?? 0, units)}`;
    case "fuel":
      return `${formatFuel(entry.amount ?? 0, fuel, units)} of ${fuelWords[fuel]} put on`;
    case "drawn":
      return `${formatSyrup(entry.volumeL ?? 0, units)} drawn off${brix}`;
  }
}

/** What the rate in the plan rests on. */
export function learnedWords(boils: number, usual: string): string {
  if (boils === 0) return `${usual}, until a logged boil says more`;
  return boils === 1 ? "learned from one boil" : `learned from ${boils} boils`;
}
