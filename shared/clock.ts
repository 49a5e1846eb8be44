// The only way to ask for the time: whoever needs it is handed a clock by main.ts.

export type Clock = {
  /** Milliseconds since the Unix epoch, in the time the whole yard lives in. */
  nowMs(): number;
  /** Yard seconds that pass in one real second; 1 but in the demo. */
  readonly speed: number;
};
