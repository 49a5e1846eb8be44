// What a check of a board found, in plain words, and the next thing to fix. Pure.
import { median } from "./scale/sampler.ts";
import type { Found } from "./wired-board.ts";

export type CellCheck = {
  cell: string;
  channel: number;
  /** Windows in order, one every five seconds. */
  found: readonly Found[];
  /** Undefined for a cell that was never calibrated. */
  countsPerG: number | undefined;
  calibratedAtMs: number | undefined;
};

export type CheckFindings = {
  board: string;
  /** Why there is no link; undefined when there is. */
  linkProblem: string | undefined;
  firmware: string | undefined;
  cells: readonly CellCheck[];
  thermometer: { wanted: boolean; airC: number | undefined };
  barometer: { wanted: boolean; pressurePa: number | undefined };
  supply: { wanted: boolean; supplyV: number | undefined };
  clock: { nowMs: number; problem: string | undefined };
  broker: { url: string; problem: string | undefined };
};

export type CheckReport = { lines: string[]; nextToFix: string | undefined };

/** Counts a gram, and noise of single readings in grams, expected of a 40 kg cell (see README.md). */
const usualCountsPerG = 107.374;
const expectedNoiseG = 0.33;
const mostNoiseG = 2;
const mostDriftG = 5;
/** The median distance from the median is this part of a standard deviation (normal noise). */
const madOfSd = 0.6745;

/** `canWait`: everything else that is to be fixed comes first. */
type Line = { text: string; fix?: string; canWait?: boolean };

export function checkReport(findings: CheckFindings): CheckReport {
  const lines = [
    linkLine(findings),
    ...(findings.linkProblem === undefined ? boardLines(findings) : []),
    clockLine(findings.clock),
    brokerLine(findings.broker),
  ];
  const toFix = lines.filter(({ fix }) => fix !== undefined);
  const next = toFix.find(({ canWait }) => canWait !== true) ?? toFix[0];
  return { lines: lines.map(({ text }) => text), nextToFix: next?.fix };
}

function linkLine({ board, linkProblem, firmware }: CheckFindings): Line {
  if (linkProblem === undefined) return { text: `Board ${board} answers: ${firmware}.` };
  const text = `Board ${board} does not answer: ${linkProblem}.`;
  return { text, fix: linkFix(linkProblem) };
}

function linkFix(problem: string): string {
  if (/lock|busy|temporarily unavailable/i.test(problem)) {
    return "Another program uses the port: stop the board program first (systemctl stop brimful-board).";
  }
  if (/permission|EACCES/i.test(problem)) {
    return "You may not use the port: add yourself to the group dialout and log in again.";
  }
  if (/no such file|ENOENT/i.test(problem)) {
    return "The port is not there: plug the board in, look under /dev/serial/by-id, and correct the boards file.";
  }
  if (/stuck/i.test(problem)) {
    return "Something holds the I2C lines low: switch the board off and on; if that does not last, unplug one chip after the other.";
  }
  if (/Firmata/.test(problem))
    return "Flash StandardFirmata onto the board (see device/README.md).";
  return "Check the cable, the board's power and the address in the boards file.";
}

function boardLines(findings: CheckFindings): Line[] {
  const { cells } = findings;
  const isAbsent = ({ found }: CellCheck) => isFault(found.at(-1), "absent");
  const lines = cells.map(cellLine);
  if (cells.length > 1 && cells.every(isAbsent)) {
    const fix =
      "No amplifier answers: check the multiplexer first (its supply, SDA and SCL, its address).";
    lines.unshift({ text: "No amplifier answers.", fix });
  }
  return [...lines, ...airLines(findings)];
}

function isFault(found: Found | undefined, fault: string): boolean {
  return found !== undefined && "fault" in found && found.fault === fault;
}

function cellLine(check: CellCheck): Line {
  const { cell, channel, found } = check;
  const where = `${cell} (channel ${channel})`;
  const newest = found.at(-1);
  if (newest === undefined) return { text: `${where}: nothing heard yet.` };
  if ("fault" in newest) {
    return {
      text: `${where}: ${faultWords[newest.fault]}.`,
      fix: `${where}: ${faultFix[newest.fault]}`,
    };
  }
  const windows = found.flatMap((one) => ("counts" in one ? [one.counts] : []));
  const countsPerG = check.countsPerG ?? usualCountsPerG;
  const noiseG = median(windows.map((counts) => noiseCounts(counts))) / Math.abs(countsPerG);
  const first = median(windows[0] ?? [0]);
  const driftG = (median(windows.at(-1) ?? [0]) - first) / countsPerG;
  const figures = `noise ${noiseG.toFixed(2)} g (expected ${expectedNoiseG} g), drift ${driftText(driftG)} g in ${(windows.length - 1) * 5} s`;
  return figuresLine({
    where,
    figures,
    noiseG,
    driftG,
    isCalibrated: check.countsPerG !== undefined,
  });
}

/** Nought without a sign. */
function driftText(driftG: number): string {
  return Math.abs(driftG) < 0.05 ? "0.0" : driftG.toFixed(1);
}

function figuresLine(of: {
  where: string;
  figures: string;
  noiseG: number;
  driftG: number;
  isCalibrated: boolean;
}): Line {
  const { where, figures } = of;
  if (of.noiseG > mostNoiseG) {
    const fix = `${where} is noisy: wind or a swinging bucket; else its wires, its ground, or mains cable beside it.`;
    return { text: `${where}: noisy, ${figures}.`, fix };
  }
  if (Math.abs(of.driftG) > mostDriftG) {
    const fix = `${where} drifts: wait until it has the air's temperature, and see that nothing drips or leans on it.`;
    return { text: `${where}: drifts, ${figures}.`, fix };
  }
  if (!of.isCalibrated) {
    const fix = `${where} was never calibrated: npm run board -- calibrate does it.`;
    const text = `${where}: never calibrated; as a usual 40 kg cell ${figures}.`;
    return { text, fix, canWait: true };
  }
  return { text: `${where}: good, ${figures}.` };
}

/** Standard deviation of single readings, as the median distance from the median tells it. */
function noiseCounts(counts: readonly number[]): number {
  const middle = median(counts);
  return median(counts.map((one) => Math.abs(one - middle))) / madOfSd;
}

const faultWords = {
  absent: "no answer from its amplifier",
  saturated: "its signal is beyond the range",
  stuck: "its amplifier does not convert",
  uncalibrated: "never calibrated",
} as const;

const faultFix = {
  absent: "its amplifier does not answer: check its plug on the multiplexer and its supply.",
  saturated:
    "its bridge is beyond the range: a wire of the load cell is off or swapped, or the cell is overloaded.",
  stuck:
    "its amplifier does not convert: switch the board off and on; if that does not help, change the amplifier.",
  uncalibrated: "it was never calibrated.",
} as const;

function airLines({ thermometer, barometer, supply }: CheckFindings): Line[] {
  const lines: Line[] = [];
  if (thermometer.wanted) lines.push(valueLine("Thermometer", thermometer.airC, "C"));
  if (barometer.wanted) lines.push(valueLine("Barometer", barometer.pressurePa, "Pa"));
  if (supply.wanted) lines.push(valueLine("Supply", supply.supplyV, "V"));
  return lines;
}

function valueLine(name: string, value: number | undefined, unit: string): Line {
  if (value !== undefined) return { text: `${name}: ${value} ${unit}.` };
  const fix = `${name} does not answer: check its wires and its address in the boards file.`;
  return { text: `${name}: no answer.`, fix };
}

function clockLine({ nowMs, problem }: CheckFindings["clock"]): Line {
  const text = `Clock: ${new Date(nowMs).toISOString()}`;
  if (problem === undefined) return { text: `${text}.` };
  return { text: `${text}, not to be believed: ${problem}.`, fix: `Clock: ${problem}.` };
}

function brokerLine({ url, problem }: CheckFindings["broker"]): Line {
  if (problem === undefined) return { text: `Broker ${url}: lets this board in.` };
  return {
    text: `Broker ${url}: ${problem}.`,
    fix: `Broker ${url}: ${problem}. Start the server, or correct BRIMFUL_MQTT_URL and the secret.`,
  };
}
