// What the domain knows of a bucket, its readings and what comes of them. Units: g, g/h, Cel, ms.

/** How a bucket hangs: its own weight and what it holds up to the rim, as mass of 2 Brix sap. */
export type BucketSetup = {
  emptyG: number;
  capacityG: number;
  /** Share of the sunlight that reaches it, 0 in deep shade to 1 in the open; 1 when left out. */
  sunShare?: number;
  /** When a person last washed it. */
  washedMs?: number;
};

/** One committed reading of a cell with the air temperature that held then. */
export type BucketReading = {
  atMs: number;
  /** Gross weight on the cell; a bare cell weighs 0. */
  massG: number;
  airC?: number | undefined;
  /** Hour of the yard's own day, 0 up to 24; the sun is told by it. */
  localHour?: number;
};

export type FlowEventKind =
  | "emptied"
  | "poured-off"
  | "lifted"
  | "load-added"
  | "load-off"
  | "leaned-on"
  | "spike";

/** Something that changed the mass other than sap: deltaG is what it added (negative: took). */
export type FlowEvent = {
  kind: FlowEventKind;
  atMs: number;
  untilMs: number;
  deltaG: number;
};

/** What the filter believes at one moment; net of the empty bucket. */
export type FlowEstimate = {
  atMs: number;
  netG: number;
  netSdG: number;
  flowGPerH: number;
  lowGPerH: number;
  highGPerH: number;
  /** The bucket is off its cell now. */
  away: boolean;
  /** The bucket is at the rim: the flow is a lower bound. */
  full: boolean;
  /** Only the first readings are in: nothing is known for sure, nothing is booked yet. */
  starting: boolean;
  /** The wood is certainly frozen: what settles on the bucket meanwhile is no sap. */
  frozen: boolean;
  /** The readings make no sense (stuck, out of range, too noisy): why. */
  doubt?: string | undefined;
};

/** Ten minutes that are over; atMs is their end. */
export type Slot = {
  atMs: number;
  netG: number;
  /** Sap that came in these ten minutes by the mass ledger; may be slightly negative. */
  inflowG: number;
  flowGPerH: number;
  lowGPerH: number;
  highGPerH: number;
  airC?: number;
  /** Hour of the yard's own day at its end, as of its last reading. */
  localHour?: number;
  full: boolean;
};
