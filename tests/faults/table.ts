// What a soak came to, as lines to read.
import { wholeNumber } from "../bench/figures.ts";
import type { Comparison } from "./ledger.ts";
import type { MemoryFigure } from "./memory-watch.ts";

/** How often each fault was inflicted. */
export type Tried = Map<string, number>;

export type SoakResult = {
  minutes: number;
  rate: number;
  broker: string;
  tried: Tried;
  compared: Comparison;
  crashes: readonly string[];
  isSettled: boolean;
  settledS: number;
  /** Minutes at the end in which no fault ended the server. */
  spared: number;
  memory: readonly MemoryFigure[];
};

export function formatTable(result: SoakResult): string {
  const { compared, tried, crashes, memory } = result;
  const faults = [...tried.values()].reduce((sum, count) => sum + count, 0);
  const mb = (value: number) =>
    Number.isFinite(value) ? `${value.toFixed(0)} MB` : "not measured";
  const rows: [string, string][] = [
    ["minutes, readings a second, broker", `${result.minutes}, ${result.rate}, ${result.broker}`],
    ["faults inflicted", wholeNumber(faults)],
    ...[...tried].map(([name, count]): [string, string] => [`  ${name}`, String(count)]),
    ["readings made, on a board's disk", wholeNumber(compared.made)],
    ["readings in the store as they were made", wholeNumber(compared.stored)],
    ["readings lost", wholeNumber(compared.lost)],
    ["readings doubled or altered", wholeNumber(compared.doubled)],
    ["turns that an outbox lost", wholeNumber(compared.lostByOutbox)],
    ["batches given up for want of disk and memory, counted", wholeNumber(compared.givenUp)],
    ["programs that ended by themselves", wholeNumber(crashes.length)],
    ["all kept after the last fault", result.isSettled ? `${result.settledS.toFixed(1)} s` : "no"],
    ["last minutes in which no fault ended the server", String(result.spared)],
    ...memory.flatMap(({ program, byTenMinutesMb, ...one }): [string, string][] => [
      [
        `memory of ${program}: 10 min into those, at the end, highest`,
        `${mb(one.afterTenMinutesMb)}, ${mb(one.atEndMb)}, ${mb(one.highestMb)}`,
      ],
      ["  median of each ten minutes of the run", byTenMinutesMb.map(mb).join(", ")],
    ]),
  ];
  const lines = rows.map(([name, value]) => `${name.padEnd(62)} ${value}`);
  return ["", ...lines, ...crashes].join("\n");
}
