// How a yard is described to home automation by the Homie convention, version 5: one device, a node for each bucket.
import { type AlarmKind, bucketStateSchema, type YardView } from "../../shared/wire/api.ts";

// Homie convention 5.0: topics homie/5/<device>/<node>/<property>, all retained; nothing here can be set from outside.

type Property = { name: string; datatype: string; format?: string; unit?: string };
type Node = { name: string; type: string; properties: Record<string, Property> };

export type HomieDescription = {
  homie: "5.0";
  /** Higher with every change of the description. */
  version: number;
  name: string;
  type: string;
  nodes: Record<string, Node>;
};

/** Of what belongs to no bucket; no bucket's id begins so. */
export const yardNode = "yard--all";

const yardProperties: Record<string, Property> = {
  todo: { name: "What to do now", datatype: "string" },
  air: { name: "Air", datatype: "float", unit: "°C" },
  waiting: { name: "Sap gathered and waiting", datatype: "float", format: "0:", unit: "L" },
};

/** Those that a bucket itself can raise. */
const bucketAlarms: readonly AlarmKind[] = [
  "brim",
  "brimful",
  "boil",
  "sour",
  "frozen",
  "silent",
  "doubtful",
];

const bucketProperties: Record<string, Property> = {
  volume: { name: "Sap in it", datatype: "float", format: "0:", unit: "L" },
  level: { name: "Full", datatype: "integer", format: "0:", unit: "%" },
  flow: { name: "Flow", datatype: "float", unit: "L/h" },
  state: { name: "State", datatype: "enum", format: bucketStateSchema.options.join() },
  "brim-at": { name: "Brims about", datatype: "datetime" },
  "boil-by": { name: "Boil by", datatype: "datetime" },
  ...Object.fromEntries(
    bucketAlarms.map((kind) => [`alarm-${kind}`, { name: `Alarm: ${kind}`, datatype: "boolean" }]),
  ),
};

type Described = { yard: { name: string }; buckets: readonly { id: string; label: string }[] };

/** The description of a yard as it is now. */
export function describeYard({ yard, buckets }: Described, version: number): HomieDescription {
  const nodes = buckets.map(({ id, label }): [string, Node] => [
    id,
    { name: label, type: "sap bucket", properties: bucketProperties },
  ]);
  return {
    homie: "5.0",
    version,
    name: yard.name,
    type: "sugar yard",
    nodes: {
      [yardNode]: { name: yard.name, type: "yard", properties: yardProperties },
      ...Object.fromEntries(nodes),
    },
  };
}

/** Every property's payload by `node/property`; what isn't known is an empty payload, which takes the topic away. */
export function homieValues(
  view: Pick<YardView, "buckets" | "boards" | "vessels" | "doNow">,
): Map<string, string> {
  const airC = view.boards.find((board) => board.airC !== null)?.airC ?? null;
  const waitingL = view.vessels.reduce((sum, one) => sum + (one.parked ? 0 : one.volumeL), 0);
  const values: [string, string][] = [
    [`${yardNode}/todo`, view.doNow.sentence],
    [`${yardNode}/air`, figure(airC, 1)],
    [`${yardNode}/waiting`, figure(waitingL, 1)],
    ...view.buckets.flatMap(bucketValues),
  ];
  return new Map(values);
}

function bucketValues(bucket: YardView["buckets"][number]): [string, string][] {
  const { id, volumeL, fullFraction, flowLPerH, state, brim, keeping, alarms } = bucket;
  const values: [string, string][] = [
    ["volume", figure(volumeL === null ? null : Math.max(0, volumeL), 1)],
    ["level", figure(fullFraction === null ? null : 100 * Math.max(0, fullFraction), 0)],
    ["flow", figure(flowLPerH, 2)],
    ["state", state],
    ["brim-at", moment(brim?.t50Ms ?? null)],
    ["boil-by", moment(keeping?.boilByMs ?? null)],
    ...bucketAlarms.map((kind): [string, string] => [
      `alarm-${kind}`,
      String(alarms.includes(kind)),
    ]),
  ];
  return values.map(([property, value]) => [`${id}/${property}`, value]);
}

function figure(value: number | null, decimals: number): string {
  if (value === null) return "";
  return (Number(value.toFixed(decimals)) + 0).toString();
}

const fiveMinutesMs = 300_000;

/** To five minutes: a forecast that wavers by seconds is no news. */
function moment(atMs: number | null): string {
  if (atMs === null) return "";
  return new Date(Math.round(atMs / fiveMinutesMs) * fiveMinutesMs).toISOString();
}
