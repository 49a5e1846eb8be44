// The boil's plan, pan and thermometer, and the small sums beside the stove.
import { sapDensityKgPerL } from "../../shared/sap/density.ts";
import { brixInPan } from "../../shared/syrup/activity.ts";
import { adjustmentOfBatch } from "../../shared/syrup/adjust.ts";
import { finishingFromPressure } from "../../shared/syrup/finishing.ts";
import { brixFromHydrometer } from "../../shared/syrup/hydrometer.ts";
import {
  adjustPostSchema,
  adjustSchema,
  type BoilPlan,
  boilSetupPatchSchema,
  boilSetupSchema,
  hydrometerPostSchema,
  hydrometerSchema,
  panBrixPostSchema,
  panBrixSchema,
  planPostSchema,
  planSchema,
  type ThermometerCheck,
  thermometerPostSchema,
  thermometerSchema,
} from "../../shared/wire/syrup.ts";
import { changedBy } from "../db/changed-by.ts";
import { lawOf, planOfBoil } from "../domain/boil/plan.ts";
import {
  basisOf,
  checkFrom,
  type KitchenParts,
  nextTimeOfDayMs,
  type PressureNow,
  pressureNow,
  recordNow,
  sapBrixNow,
  sapInHand,
  thermometerNow,
  zoneNow,
} from "./kitchen.ts";
import { HttpProblem } from "./problem.ts";
import { orRefused } from "./refused.ts";
import { type Route, route } from "./route.ts";

const coldC = 20;
const mostOffC = 3;
/** Water boils so much lower at 3,000 m. */
const mostLowAnywhereC = 11;
const thermometerSpreadC = 0.1;

export function syrupRoutes(parts: KitchenParts): Route[] {
  return [planRoute(parts), ...setupRoutes(parts), ...thermometerRoutes(parts), ...sums(parts)];
}

function planRoute(parts: KitchenParts): Route {
  return route({
    method: "post",
    path: "/syrup/plan",
    mayUse: "viewer",
    summary: "From sap in hand to syrup, water, heat, hours, fuel, start and finishing temperature",
    body: planPostSchema,
    answer: planSchema,
    handle: ({ body }) => orRefused(() => planNow(parts, body)),
  });
}

type PlanBody = ReturnType<typeof planPostSchema.parse>;

function planNow(parts: KitchenParts, body: PlanBody): BoilPlan {
  const nowMs = parts.clock.nowMs();
  const setup = parts.boilSettings.setup();
  const law = body.law ?? setup.law;
  const aimBrix = body.aimBrix ?? setup.aimBrix ?? lawOf(law).lowestBrix;
  const sap = sapOf(parts, body.sap);
  const pressure = pressureNow(parts, body);
  const thermometer = thermometerNow(parts, body);
  const doneByMs =
    body.doneByMs === undefined
      ? nextTimeOfDayMs(nowMs, setup.doneBy, zoneNow(parts))
      : body.doneByMs;
  const { massKg, finishing, ...plan } = planOfBoil({
    nowMs,
    sap,
    aim: { law, aimBrix },
    pressure,
    thermometer,
    panAreaM2: body.panAreaM2 ?? setup.panAreaM2,
    fire: setup,
    holdUpL: setup.holdUpL,
    doneByMs,
    record: recordNow(parts, setup),
  });
  const { boilByMs: _, ...told } = sap;
  return {
    nowMs,
    sap: { ...told, massKg },
    pressure,
    finishing: { ...finishing, thermometer },
    ...plan,
  };
}

/** What was typed, and for the rest what the yard knows. */
function sapOf(parts: KitchenParts, typed: PlanBody["sap"]) {
  const inHand = sapInHand(parts.watch.yardView());
  const sugar =
    typed.brix === undefined ? sapBrixNow(parts) : { brix: typed.brix, brixFrom: "typed" as const };
  const isTyped = typed.volumeL !== undefined;
  return {
    volumeL: typed.volumeL ?? inHand.volumeL,
    volumeFrom: isTyped ? ("typed" as const) : ("yard" as const),
    ...sugar,
    tempC: typed.tempC ?? inHand.tempC,
    places: inHand.places,
    boilByMs: inHand.boilByMs,
  };
}

function setupRoutes({ boilSettings, clock }: KitchenParts): Route[] {
  return [
    route({
      method: "get",
      path: "/syrup/setup",
      summary: "Pan, fire and rules",
      answer: boilSetupSchema,
      handle: () => boilSettings.setup(),
    }),
    route({
      method: "patch",
      path: "/syrup/setup",
      summary: "Change pan, fire or rules; a report of sea-level pressure holds for a day",
      body: boilSetupPatchSchema,
      answer: boilSetupSchema,
      handle: ({ body }) => {
        const changed = changedBy(boilSettings.setup(), body);
        const seaLevelAtMs = body.seaLevelPa === undefined ? changed.seaLevelAtMs : clock.nowMs();
        boilSettings.setSetup({ ...changed, seaLevelAtMs });
        return boilSettings.setup();
      },
    }),
  ];
}

function thermometerRoutes(parts: KitchenParts): Route[] {
  return [
    route({
      method: "get",
      path: "/syrup/thermometer",
      summary: "What the thermometer showed in boiling water last",
      answer: thermometerSchema,
      handle: () => ({ latest: thermometerNow(parts) }),
    }),
    route({
      method: "post",
      path: "/syrup/thermometer",
      summary: "Zero the thermometer: what it shows in boiling water now",
      body: thermometerPostSchema,
      answer: thermometerSchema,
      status: 201,
      handle: ({ body }) => {
        const pressure = pressureNow(parts);
        const { readingC } = body;
        const basis = basisOf(pressure, parts);
        const zero = {
          atMs: parts.clock.nowMs(),
          readingC,
          pressurePa: pressure.pressurePa,
          basis,
        };
        requireUsable(checkFrom(parts, zero, pressure), pressure);
        parts.boilSettings.putZero(zero);
        return { latest: thermometerNow(parts) };
      },
    }),
  ];
}

/** One further off needs replacing rather than correcting; where nobody told the height, water may boil far lower. */
function requireUsable(check: ThermometerCheck, { from }: PressureNow) {
  const mostLowC = from === "standard" ? mostLowAnywhereC : mostOffC;
  if (check.offsetC <= mostOffC && check.offsetC >= -mostLowC) return;
  const near =
    mostLowC === mostOffC
      ? `within ${mostOffC} C of`
      : `at most ${mostOffC} C above or ${mostLowC} C below`;
  const expected = `a reading ${near} ${check.waterBoilingTempC.toFixed(2)} C, where water boils now`;
  const got = `${check.readingC}: is the water at a rolling boil, the pressure right, the thermometer sound?`;
  throw new HttpProblem(422, `readingC requires ${expected}, got ${got}`, [
    { field: "readingC", expected, got: String(check.readingC) },
  ]);
}

function sums(parts: KitchenParts): Route[] {
  return [
    route({
      method: "post",
      path: "/syrup/adjust",
      mayUse: "viewer",
      summary: "What a batch too thin or too thick needs to reach its density",
      body: adjustPostSchema,
      answer: adjustSchema,
      handle: ({ body }) =>
        orRefused(() => {
          const batchKg = body.volumeL * sapDensityKgPerL(body);
          const made = adjustmentOfBatch({ ...body, batchKg, batchBrix: body.brix });
          const kgPerL = sapDensityKgPerL({ brix: body.aimBrix, tempC: coldC });
          return { batchKg, ...made, resultVolumeL: made.resultKg / kgPerL };
        }),
    }),
    route({
      method: "post",
      path: "/syrup/hydrometer",
      mayUse: "viewer",
      summary: "Brix from what a hydrometer shows, hot or cold",
      body: hydrometerPostSchema,
      answer: hydrometerSchema,
      handle: ({ body }) => orRefused(() => ({ brix: brixFromHydrometer(body) ?? null })),
    }),
    panBrixRoute(parts),
  ];
}

function panBrixRoute(parts: KitchenParts): Route {
  return route({
    method: "post",
    path: "/syrup/pan",
    mayUse: "viewer",
    summary: "Brix in the boiling pan from the thermometer's reading, at the pressure now",
    body: panBrixPostSchema,
    answer: panBrixSchema,
    handle: ({ body }) =>
      orRefused(() => {
        const { pressurePa } = pressureNow(parts);
        const tempC = body.readingC - (thermometerNow(parts)?.offsetC ?? 0);
        const brix = brixInPan({ tempC, pressurePa }) ?? null;
        const spreadBrix =
          brix === null || brix < 1 || brix > 90
            ? null
            : finishingFromPressure({ brix, pressurePa }).brixPerC * thermometerSpreadC;
        return { brix, tempC, pressurePa, spreadBrix };
      }),
  });
}
