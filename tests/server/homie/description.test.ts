// What a yard is told as by the Homie convention 5.0: ids, datatypes and payloads that are valid there.
import { expect, it } from "vitest";
import { describeYard, homieValues } from "../../../server/homie/description.ts";
import { bucketView } from "../../helpers/http-rig.ts";

const yard = { name: "Lane" };
const now = { boards: [], vessels: [], doNow: { sentence: "Nothing to do.", parts: [] } };

it("every payload has its property in the description, and the form of its datatype", () => {
  const brim = { probability: 0.6, t10Ms: 1, t50Ms: Date.UTC(2026, 2, 14, 15, 41), t90Ms: null };
  const gate = bucketView("gate", { volumeL: 4.26, fullFraction: 0.426, flowLPerH: -0.001, brim });
  const buckets = [{ ...gate, alarms: ["brim" as const] }, bucketView("well")];
  const { nodes } = describeYard({ yard, buckets }, 7);
  const values = homieValues({ ...now, buckets });
  const forms: Record<string, RegExp> = {
    float: /^-?\d+(\.\d+)?$/,
    integer: /^-?\d+$/,
    boolean: /^(true|false)$/,
    datetime: /^\d{4}-\d\d-\d\dT\d\d:\d\d:00\.000Z$/,
    string: /^.+$/,
    enum: /^[a-z]+$/,
  };
  for (const [topic, payload] of values) {
    const [node = "", property = ""] = topic.split("/");
    const { datatype = "" } = nodes[node]?.properties[property] ?? {};
    expect(topic).toMatch(/^[a-z0-9][a-z0-9-]*\/[a-z0-9][a-z0-9-]*$/);
    if (payload !== "") expect(payload, topic).toMatch(forms[datatype] ?? /^none$/);
  }
  expect(values.get("gate/volume")).toBe("4.3");
  expect(values.get("gate/level")).toBe("43");
  expect(values.get("gate/flow")).toBe("0");
  expect(values.get("gate/brim-at")).toBe("2026-03-14T15:40:00.000Z");
  expect(values.get("gate/alarm-brim")).toBe("true");
  expect(values.get("gate/boil-by")).toBe("");
  expect(Object.keys(nodes)).toEqual(["yard--all", "gate", "well"]);
});
