// Keeps and finds what boards measured; masses in decigrams and temperatures in hundredths of a degree inside.
import type { BoardValue, CellFault } from "../../shared/wire/pack.ts";
import { correctedReading } from "../domain/correction.ts";
import { createCorrectionList } from "./corrections.ts";
import type { Sqlite } from "./sqlite.ts";

export type Reading = {
  atMs: number;
  massG: number;
  spreadG: number | null;
  counts: number | null;
};
export type CellReading = Reading & { cellKey: number };
export type Temperature = { atMs: number; tempC: number };
export type ProbeTemperature = Temperature & { probeKey: number };
export type StoredFault = { cellKey: number; atMs: number; fault: CellFault };
export type Quantity = BoardValue["quantity"];
/** Pa or V. */
export type StoredValue = { board: string; quantity: Quantity; atMs: number; value: number };

/** From inclusive, until exclusive, at most `limit` in order of time. */
export type Span = { fromMs: number; untilMs: number; limit?: number };

export type Readings = ReturnType<typeof createReadings>;

const noLimit = -1;
const millivoltsPerVolt = 1000;

/** Each `insert…` returns whether the row was new: what is there already stays as it is. */
export function createReadings(sqlite: Sqlite) {
  return { ...createInserts(sqlite), ...createMassQueries(sqlite), ...createOtherQueries(sqlite) };
}

function createInserts(sqlite: Sqlite) {
  const insertReading = sqlite.prepare(
    `INSERT INTO reading (cell_key, at_ms, mass_dg, spread_dg, counts) VALUES (?, ?, ?, ?, ?)
     ON CONFLICT DO NOTHING`,
  );
  const insertTemperature = sqlite.prepare(
    "INSERT INTO temperature (probe_key, at_ms, temp_cc) VALUES (?, ?, ?) ON CONFLICT DO NOTHING",
  );
  const insertValue = sqlite.prepare(
    `INSERT INTO board_value (board, quantity, at_ms, value) VALUES (?, ?, ?, ?)
     ON CONFLICT DO NOTHING`,
  );
  const insertFault = sqlite.prepare(
    "INSERT INTO fault (cell_key, at_ms, fault) VALUES (?, ?, ?) ON CONFLICT DO NOTHING",
  );
  return {
    insertReading(reading: CellReading): boolean {
      const { cellKey, atMs, massG, spreadG, counts } = reading;
      const spreadDg = spreadG === null ? null : decigrams(spreadG);
      return insertReading.run(cellKey, atMs, decigrams(massG), spreadDg, counts).changes === 1;
    },
    insertTemperature({ probeKey, atMs, tempC }: ProbeTemperature): boolean {
      return insertTemperature.run(probeKey, atMs, Math.round(tempC * 100)).changes === 1;
    },
    insertValue({ board, quantity, atMs, value }: StoredValue): boolean {
      const stored = Math.round(quantity === "supply" ? value * millivoltsPerVolt : value);
      return insertValue.run(board, quantity, atMs, stored).changes === 1;
    },
    insertFault({ cellKey, atMs, fault }: StoredFault): boolean {
      return insertFault.run(cellKey, atMs, fault).changes === 1;
    },
  };
}

/** Weights are as the corrections that hold now have them. */
function createMassQueries(sqlite: Sqlite) {
  const corrections = createCorrectionList(sqlite);
  const listed = `at_ms AS atMs, mass_dg / 10.0 AS massG, spread_dg / 10.0 AS spreadG, counts`;
  // Many rows at once: as plain columns they are read in half the time.
  const list = sqlite
    .prepare(
      `SELECT at_ms, mass_dg, spread_dg, counts FROM reading
       WHERE cell_key = ? AND at_ms >= ? AND at_ms < ? ORDER BY at_ms LIMIT ?`,
    )
    .raw();
  const latest = sqlite.prepare(
    // CROSS JOIN: cells first, then one look-up each; the planner would go through all readings.
    `SELECT key AS cellKey, ${listed} FROM cell CROSS JOIN reading
     ON cell_key = key AND at_ms = (SELECT max(r.at_ms) FROM reading r WHERE r.cell_key = key AND r.at_ms <= ?)`,
  );
  const earliest = sqlite.prepare("SELECT min(at_ms) AS atMs FROM reading WHERE cell_key = ?");
  return {
    listReadings({ cellKey, fromMs, untilMs, limit = noLimit }: Span & { cellKey: number }) {
      const rows = list.all(cellKey, fromMs, untilMs, limit) as ReadingRow[];
      const readings = rows.map(readingFromRow);
      const all = corrections();
      if (all.length === 0) return readings;
      return readings.map((reading) => correctedReading(reading, cellKey, all));
    },
    /** The newest reading at or before an instant of every cell that has one. */
    latestOfCells(atMs: number): CellReading[] {
      const all = corrections();
      return (latest.all(atMs) as CellReading[]).map((reading) =>
        correctedReading(reading, reading.cellKey, all),
      );
    },
    earliestMs(cellKey: number): number | undefined {
      return (earliest.get(cellKey) as { atMs: number | null }).atMs ?? undefined;
    },
  };
}

function createOtherQueries(sqlite: Sqlite) {
  const tempColumns = "at_ms AS atMs, temp_cc / 100.0 AS tempC";
  const temperatures = sqlite
    .prepare(
      `SELECT at_ms, temp_cc FROM temperature WHERE probe_key = ? AND at_ms >= ? AND at_ms < ?
       ORDER BY at_ms LIMIT ?`,
    )
    .raw();
  const hourly = sqlite.prepare(
    `SELECT max(at_ms) AS atMs, avg(temp_cc) / 100.0 AS tempC FROM temperature
     WHERE probe_key = ? AND at_ms >= ? AND at_ms < ?
     GROUP BY at_ms / 3600000 ORDER BY 1`,
  );
  const temperatureAt = sqlite.prepare(
    `SELECT ${tempColumns} FROM temperature WHERE probe_key = ? AND at_ms <= ?
     ORDER BY at_ms DESC LIMIT 1`,
  );
  const asPeopleSay = "CASE quantity WHEN 'supply' THEN value / 1000.0 ELSE value END AS value";
  const latestValue = sqlite.prepare(
    `SELECT board, quantity, at_ms AS atMs, ${asPeopleSay} FROM board_value
     WHERE board = ? AND quantity = ? AND at_ms <= ? ORDER BY at_ms DESC LIMIT 1`,
  );
  const faults = sqlite.prepare(
    `SELECT cell_key AS cellKey, at_ms AS atMs, fault FROM fault
     WHERE cell_key = ? AND at_ms >= ? AND at_ms < ? ORDER BY at_ms LIMIT ?`,
  );
  const newestFault = sqlite.prepare(
    `SELECT cell_key AS cellKey, at_ms AS atMs, fault FROM fault
     WHERE cell_key = ? AND at_ms <= ? ORDER BY at_ms DESC LIMIT 1`,
  );
  return {
    listTemperatures({ probeKey, fromMs, untilMs, limit = noLimit }: Span & { probeKey: number }) {
      const rows = temperatures.all(probeKey, fromMs, untilMs, limit) as TemperatureRow[];
      return rows.map(([atMs, tempCc]): Temperature => ({ atMs, tempC: tempCc / 100 }));
    },
    /** The mean of each hour, at its last reading. */
    listHourlyTemperatures({ probeKey, fromMs, untilMs }: Span & { probeKey: number }) {
      return hourly.all(probeKey, fromMs, untilMs) as Temperature[];
    },
    /** The newest temperature at or before an instant. */
    temperatureAt({ probeKey, atMs }: { probeKey: number; atMs: number }) {
      return temperatureAt.get(probeKey, atMs) as Temperature | undefined;
    },
    /** The newest fault of a cell at or before an instant, however old. */
    latestFault({ cellKey, atMs }: { cellKey: number; atMs: number }): StoredFault | undefined {
      return newestFault.get(cellKey, atMs) as StoredFault | undefined;
    },
    latestValue({ board, quantity, atMs }: Omit<StoredValue, "value">): StoredValue | undefined {
      return latestValue.get(board, quantity, atMs) as StoredValue | undefined;
    },
    listFaults({ cellKey, fromMs, untilMs, limit = noLimit }: Span & { cellKey: number }) {
      return faults.all(cellKey, fromMs, untilMs, limit) as StoredFault[];
    },
  };
}

type ReadingRow = [atMs: number, massDg: number, spreadDg: number | null, counts: number | null];
type TemperatureRow = [atMs: number, tempCc: number];

function readingFromRow([atMs, massDg, spreadDg, counts]: ReadingRow): Reading {
  return { atMs, massG: massDg / 10, spreadG: spreadDg === null ? null : spreadDg / 10, counts };
}

function decigrams(massG: number): number {
  return Math.round(massG * 10);
}
