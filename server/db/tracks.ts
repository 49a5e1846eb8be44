// What was made of the readings: ten-minute slots, days, events and checkpoints of each bucket.
import type { FlowEvent, FlowEventKind, Slot } from "../domain/bucket.ts";
import type { Sqlite } from "./sqlite.ts";
import { halfHourOf } from "./wets.ts";

export type DayRow = {
  bucketId: string;
  day: string;
  inflowG: number;
  peakGPerH: number;
  onsetMs: number | undefined;
  coveredMs: number;
  lowerBound: boolean;
  /** Rain that came into the bucket beside the sap. */
  rainG: number;
};

export type Checkpoint = { atMs: number; track: string };

/** Several slots as one step of a curve: mass and time of the last, means of the others. */
export type SlotGroup = {
  atMs: number;
  netG: number;
  flowGPerH: number;
  lowGPerH: number;
  highGPerH: number;
  airC: number | null;
};

export type FlowSums = { count: number; full: number; flowG: number; lowG: number; highG: number };

const fullFlag = 1;

export type Tracks = ReturnType<typeof createTracks>;

export function createTracks(sqlite: Sqlite) {
  return {
    ...slotStatements(sqlite),
    ...eventStatements(sqlite),
    ...dayStatements(sqlite),
    ...checkpointStatements(sqlite),
    ...forgetting(sqlite),
  };
}

function slotStatements(sqlite: Sqlite) {
  const put = sqlite.prepare(
    `INSERT OR REPLACE INTO ten_minute
       (bucket_id, at_ms, mass_dg, inflow_dg, flow_g_per_h, low_g_per_h, high_g_per_h, air_cc, flags)
     VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
  );
  const due = sqlite.prepare(`INSERT OR IGNORE INTO wet_due VALUES (${halfHourOf("?")})`);
  // Many rows at once: as plain columns they are read in half the time.
  const list = sqlite
    .prepare(
      `SELECT at_ms, mass_dg, inflow_dg, flow_g_per_h, low_g_per_h, high_g_per_h, air_cc, flags
         FROM ten_minute WHERE bucket_id = ? AND at_ms > ? AND at_ms <= ? ORDER BY at_ms`,
    )
    .raw();
  // With max() the bare columns come from the row of the maximum (SQLite, "Bare columns").
  // Numbers are bound as floats: without the casts every row would be a group of its own.
  const groups = sqlite.prepare(
    `SELECT max(at_ms) AS atMs, mass_dg AS massDg, sum(flow_g_per_h) AS flow,
            sum(low_g_per_h) AS low, sum(high_g_per_h) AS high, sum(air_cc) AS air,
            count(air_cc) AS airCount, count(*) AS count
       FROM ten_minute WHERE bucket_id = @bucketId AND at_ms > @fromMs AND at_ms <= @toMs
      GROUP BY (at_ms - CAST(@fromMs AS INTEGER) - 1) / CAST(@stepMs AS INTEGER) ORDER BY 1`,
  );
  const span = sqlite.prepare(
    "SELECT min(at_ms) AS fromMs, max(at_ms) AS toMs FROM ten_minute WHERE bucket_id = ?",
  );
  // A slot stands for a sixth of an hour.
  const sums = sqlite.prepare(
    `SELECT count(*) AS count, coalesce(sum(flags & ${fullFlag}), 0) AS full,
            coalesce(sum(flow_g_per_h), 0) / 6.0 AS flowG,
            coalesce(sum(low_g_per_h), 0) / 6.0 AS lowG,
            coalesce(sum(high_g_per_h), 0) / 6.0 AS highG
       FROM ten_minute WHERE bucket_id = ? AND at_ms > ? AND at_ms <= ?`,
  );
  return {
    /** The flow and its bounds summed up over a span, with the slots that were there and those at the rim. */
    sumFlow: (bucketId: string, afterMs: number, untilMs: number) =>
      sums.get(bucketId, afterMs, untilMs) as FlowSums,
    insertSlot(bucketId: string, slot: Slot): void {
      put.run(
        bucketId,
        slot.atMs,
        Math.round(slot.netG * 10),
        Math.round(slot.inflowG * 10),
        Math.round(slot.flowGPerH),
        Math.round(slot.lowGPerH),
        Math.round(slot.highGPerH),
        slot.airC === undefined ? null : Math.round(slot.airC * 100),
        slot.full ? fullFlag : 0,
      );
      due.run(slot.atMs);
    },
    listSlots(bucketId: string, afterMs: number, untilMs: number): Slot[] {
      return (list.all(bucketId, afterMs, untilMs) as SlotRow[]).map(slotFromRow);
    },
    listSlotGroups(query: {
      bucketId: string;
      fromMs: number;
      toMs: number;
      stepMs: number;
    }): SlotGroup[] {
      return (groups.all(query) as GroupRow[]).map(slotGroupFrom);
    },
    slotSpan(bucketId: string): { fromMs: number | null; toMs: number | null } {
      return span.get(bucketId) as { fromMs: number | null; toMs: number | null };
    },
  };
}

type SlotRow = [
  atMs: number,
  massDg: number,
  inflowDg: number,
  flowGPerH: number,
  lowGPerH: number,
  highGPerH: number,
  airCc: number | null,
  flags: number,
];

function slotFromRow(row: SlotRow): Slot {
  const [atMs, massDg, inflowDg, flowGPerH, lowGPerH, highGPerH, airCc, flags] = row;
  const full = (flags & fullFlag) !== 0;
  const slot = {
    atMs,
    netG: massDg / 10,
    inflowG: inflowDg / 10,
    flowGPerH,
    lowGPerH,
    highGPerH,
    full,
  };
  return airCc === null ? slot : { ...slot, airC: airCc / 100 };
}

type GroupRow = {
  atMs: number;
  massDg: number;
  flow: number;
  low: number;
  high: number;
  air: number | null;
  airCount: number;
  count: number;
};

function slotGroupFrom(row: GroupRow): SlotGroup {
  const { atMs, count } = row;
  return {
    atMs,
    netG: row.massDg / 10,
    flowGPerH: row.flow / count,
    lowGPerH: row.low / count,
    highGPerH: row.high / count,
    airC: row.air === null ? null : row.air / row.airCount / 100,
  };
}

function eventStatements(sqlite: Sqlite) {
  const put = sqlite.prepare(
    `INSERT OR REPLACE INTO event (bucket_id, at_ms, until_ms, kind, mass_dg)
     VALUES (?, ?, ?, ?, ?)`,
  );
  const list = sqlite.prepare(
    `SELECT at_ms AS atMs, until_ms AS untilMs, kind, mass_dg / 10.0 AS deltaG
       FROM event WHERE bucket_id = ? AND at_ms >= ? AND at_ms <= ? ORDER BY at_ms`,
  );
  return {
    insertEvent(bucketId: string, event: FlowEvent): void {
      put.run(bucketId, event.atMs, event.untilMs, event.kind, Math.round(event.deltaG * 10));
    },
    listEvents(bucketId: string, fromMs: number, untilMs: number): FlowEvent[] {
      type Row = Omit<FlowEvent, "kind"> & { kind: FlowEventKind };
      return list.all(bucketId, fromMs, untilMs) as Row[];
    },
  };
}

function dayStatements(sqlite: Sqlite) {
  const put = sqlite.prepare(
    `INSERT OR REPLACE INTO day
       (bucket_id, day, inflow_dg, peak_g_per_h, onset_ms, covered_ms, lower_bound, rain_dg)
     VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
  );
  const list = sqlite.prepare(
    `SELECT bucket_id AS bucketId, day, inflow_dg / 10.0 AS inflowG, peak_g_per_h AS peakGPerH,
            onset_ms AS onsetMs, covered_ms AS coveredMs, lower_bound AS lowerBound,
            rain_dg / 10.0 AS rainG
       FROM day WHERE day >= ? AND day <= ? ORDER BY bucket_id, day`,
  );
  return {
    insertDay(row: DayRow): void {
      put.run(
        row.bucketId,
        row.day,
        Math.round(row.inflowG * 10),
        Math.round(row.peakGPerH),
        row.onsetMs ?? null,
        row.coveredMs,
        row.lowerBound ? 1 : 0,
        Math.round(row.rainG * 10),
      );
    },
    listDays(fromDay: string, untilDay: string): DayRow[] {
      type Row = Omit<DayRow, "onsetMs" | "lowerBound"> & {
        onsetMs: number | null;
        lowerBound: number;
      };
      return (list.all(fromDay, untilDay) as Row[]).map((row) => ({
        ...row,
        onsetMs: row.onsetMs ?? undefined,
        lowerBound: row.lowerBound === 1,
      }));
    },
  };
}

function checkpointStatements(sqlite: Sqlite) {
  const put = sqlite.prepare(
    "INSERT OR REPLACE INTO checkpoint (bucket_id, at_ms, track) VALUES (?, ?, ?)",
  );
  const before = sqlite.prepare(
    `SELECT at_ms AS atMs, track FROM checkpoint WHERE bucket_id = ? AND at_ms < ?
      ORDER BY at_ms DESC LIMIT 1`,
  );
  const thin = sqlite.prepare(
    `DELETE FROM checkpoint WHERE bucket_id = @bucketId AND at_ms < @beforeMs AND at_ms NOT IN
       (SELECT min(at_ms) FROM checkpoint WHERE bucket_id = @bucketId GROUP BY at_ms / 86400000)`,
  );
  return {
    insertCheckpoint(bucketId: string, checkpoint: Checkpoint): void {
      put.run(bucketId, checkpoint.atMs, checkpoint.track);
    },
    checkpointBefore(bucketId: string, atMs: number): Checkpoint | undefined {
      return before.get(bucketId, atMs) as Checkpoint | undefined;
    },
    /** Keeps one checkpoint a day of what is older than `beforeMs`. */
    thinCheckpoints(bucketId: string, beforeMs: number): void {
      thin.run({ bucketId, beforeMs });
    },
  };
}

function forgetting(sqlite: Sqlite) {
  const due = sqlite.prepare(
    `INSERT OR IGNORE INTO wet_due
       SELECT DISTINCT ${halfHourOf("at_ms")} FROM ten_minute WHERE bucket_id = ? AND at_ms > ?`,
  );
  const slots = sqlite.prepare("DELETE FROM ten_minute WHERE bucket_id = ? AND at_ms > ?");
  const events = sqlite.prepare("DELETE FROM event WHERE bucket_id = ? AND until_ms > ?");
  const checkpoints = sqlite.prepare("DELETE FROM checkpoint WHERE bucket_id = ? AND at_ms > ?");
  const reopen = sqlite.prepare(
    "UPDATE forecast_said SET closed = 0 WHERE bucket_id = ? AND at_ms > ? - 86400000",
  );
  return {
    /** Forgets what came of the readings after `atMs`, to go through them again. */
    forgetAfter(bucketId: string, atMs: number): void {
      reopen.run(bucketId, atMs);
      for (const statement of [due, slots, events, checkpoints]) statement.run(bucketId, atMs);
    },
  };
}
