// What people set about pan, fire and rules, and what their thermometer showed in boiling water.
import { type BoilSetup, boilSetupSchema } from "../../shared/wire/syrup.ts";
import { createSettings } from "./settings.ts";
import type { Sqlite } from "./sqlite.ts";

export type ZeroReading = {
  atMs: number;
  readingC: number;
  pressurePa: number;
  /** What the pressure was known by; null when that wasn't written down. */
  basis: string | null;
};
export type BoilSettings = ReturnType<typeof createBoilSettings>;

/** What holds until a person says otherwise. */
const firstBoilSetup: BoilSetup = {
  panAreaM2: null,
  fuel: "wood",
  arch: "openFire",
  wood: "sugarMaple",
  moistureFraction: 0.2,
  law: "usda",
  aimBrix: null,
  holdUpL: 0.3,
  doneBy: "22:00",
  seaLevelPa: null,
  seaLevelAtMs: null,
};

export function createBoilSettings(sqlite: Sqlite) {
  const settings = createSettings(sqlite);
  const latest = sqlite.prepare(
    `SELECT at_ms AS atMs, reading_c AS readingC, pressure_pa AS pressurePa, basis
     FROM thermometer_check ORDER BY at_ms DESC LIMIT 1`,
  );
  const put = sqlite.prepare(
    "INSERT OR REPLACE INTO thermometer_check (at_ms, reading_c, pressure_pa, basis) VALUES (?, ?, ?, ?)",
  );
  return {
    /** Fields that a newer version added have their first value until they are set. */
    setup(): BoilSetup {
      const stored = settings.getSetting("boil") as object | undefined;
      return boilSetupSchema.parse({ ...firstBoilSetup, ...stored });
    },
    setSetup(setup: BoilSetup): void {
      settings.setSetting("boil", setup);
    },
    latestZero: (): ZeroReading | undefined => latest.get() as ZeroReading | undefined,
    putZero({ atMs, readingC, pressurePa, basis }: ZeroReading): void {
      put.run(atMs, readingC, pressurePa, basis);
    },
  };
}
