// The lines of a boil's log: sap in, the pan's temperature, fuel on, syrup drawn off.
import { poundsFromKg } from "../../shared/units.ts";
import { boilEntryPatchSchema, boilEntryPostSchema, boilSchema } from "../../shared/wire/boils.ts";
import type { BoilRecord } from "../db/boils.ts";
import { changedBy } from "../db/changed-by.ts";
import { accountOfBoil, type LogEntry } from "../domain/boil/account.ts";
import { tooMuchSugar } from "../domain/boil/balance.ts";
import { correctPour, pourToBoil, strikePours } from "./boil-pours.ts";
import { boilIdOf, pastOf, viewOf } from "./boils.ts";
import { requireOpenSeason } from "./closed.ts";
import { requireHeld } from "./held.ts";
import { type KitchenParts, pressureNow, thermometerNow } from "./kitchen.ts";
import { HttpProblem } from "./problem.ts";
import { type Route, route } from "./route.ts";
import { numberFrom } from "./span.ts";

export function boilEntryRoutes(parts: KitchenParts): Route[] {
  return [postRoute(parts), ...changeRoutes(parts)];
}

function postRoute(parts: KitchenParts): Route {
  const { boils, clock } = parts;
  return route({
    method: "post",
    path: "/boils/{id}/entries",
    summary: "Log sap poured in, the pan's temperature, pressure, fuel, or syrup drawn off",
    body: boilEntryPostSchema,
    answer: boilSchema,
    status: 201,
    handle: ({ id, body }) => {
      const boil = boils.get(boilIdOf(id));
      const atMs = pastOf(body.atMs, { nowMs: clock.nowMs(), field: "atMs" });
      requireOpenSeason(parts, boil.startedMs, atMs);
      const isPan = body.kind === "pan";
      const offsetC = isPan ? (thermometerNow(parts)?.offsetC ?? null) : null;
      const pressurePa = body.pressurePa ?? (isPan ? pressureNow(parts).pressurePa : null);
      const entry = { ...body, atMs, offsetC, pressurePa };
      requireBalance(parts, boil, [...boil.entries, entry]);
      requireHeld(parts, body);
      const pourId = pourToBoil(parts, entry);
      boils.insertEntry(boil.id, { ...entry, pourId });
      return viewOf(parts, boils.get(boil.id));
    },
  });
}

function changeRoutes(parts: KitchenParts): Route[] {
  const { boils } = parts;
  const openEntry = (id: string) => {
    const entry = boils.getEntry(numberFrom(id, "boil entry"));
    requireOpenSeason(parts, boils.get(entry.boilId).startedMs);
    return entry;
  };
  return [
    route({
      method: "patch",
      path: "/boil-entries/{id}",
      summary: "Correct a line of a boil's log",
      body: boilEntryPatchSchema,
      answer: boilSchema,
      handle: ({ id, body }) => {
        const before = openEntry(id);
        const boil = boils.get(before.boilId);
        const corrected = changedBy(before, body);
        requireBalance(
          parts,
          boil,
          boil.entries.map((entry) => (entry.id === before.id ? corrected : entry)),
        );
        const entry = boils.updateEntry(before.id, body);
        correctPour(parts, entry);
        return viewOf(parts, boils.get(entry.boilId));
      },
    }),
    route({
      method: "delete",
      path: "/boil-entries/{id}",
      summary: "Delete a line of a boil's log",
      handle: ({ id }) => {
        const entry = openEntry(id);
        strikePours(parts, [entry]);
        boils.removeEntry(entry.id);
      },
    }),
  ];
}

/** Sugar is not made by boiling. Throws HttpProblem 422. */
function requireBalance(
  { boilSettings }: KitchenParts,
  boil: BoilRecord,
  entries: readonly LogEntry[],
): void {
  const account = accountOfBoil({ ...boil, entries });
  const { holdUpL } = boilSettings.setup();
  const tooMuch = tooMuchSugar(account, { holdUpL, aimBrix: boil.aimBrix });
  if (tooMuch === null) return;
  const [drawn, most] = [tooMuch.drawnKg, tooMuch.mostKg].map(
    (kg) => `${kg.toFixed(2)} kg (${poundsFromKg(kg).toFixed(2)} lb)`,
  );
  const message = `what is drawn off holds ${drawn} of sugar, but the sap in this log brought at most ${most}: log the sap that is missing, or correct the volume or the Brix`;
  throw new HttpProblem(422, message, [
    { field: "volumeL", expected: `at most ${most} of sugar drawn off`, got: drawn ?? "" },
  ]);
}
