// The truth tape: what really was in the simulated yard, beside what its cells said.

export type TruthRecord =
  | {
      kind: "reading";
      atMs: number;
      board: string;
      cell: string;
      sapG: number;
      /** On the lid. */
      snowG: number;
      grossG: number;
      flowGPerH: number;
    }
  | {
      kind: "gathered" | "lifted" | "bumped" | "leaned" | "brimmed";
      atMs: number;
      board: string;
      cell: string;
      massG: number;
    };

export type Tape = (record: TruthRecord) => void;
