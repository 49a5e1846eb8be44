// What people set about the yard: name, place, visits, quiet hours, how eagerly to warn.
import { useState } from "preact/hooks";
import { quantities } from "../../shared/quantities.ts";
import type { Units, YardSettings } from "../../shared/wire/api.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import { areRight, useEntry } from "../entry.ts";
import { formatShare } from "../format.ts";
import type { PageFrame } from "../page-frame.ts";
import { parseVisitTimes } from "../visit-times.ts";
import { EntryField } from "./entry-field.tsx";
import { CheckField, Form, SelectField, TextField } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

type Filled = Record<"name" | "timeZone" | "visits" | "quietFrom" | "quietUntil", string> & {
  units: Units;
  warnProbability: number;
  wakeMe: boolean;
};
type Place = Pick<YardSettings, "latitude" | "longitude" | "altitudeM">;

function filledFrom(yard: YardSettings): Filled {
  return {
    name: yard.name,
    timeZone: yard.timeZone ?? "",
    visits: (yard.visitTimes ?? []).join(", "),
    quietFrom: yard.quietFrom,
    quietUntil: yard.quietUntil,
    units: yard.units,
    warnProbability: yard.warnProbability,
    wakeMe: yard.wakeMe,
  };
}

/** The settings a filled form asks for; figures left empty are null: not known. */
export function settingsFrom(
  filled: Filled,
  { visitTimes, ...place }: Place & Pick<YardSettings, "visitTimes">,
): Partial<YardSettings> {
  const timeZone = filled.timeZone.trim();
  return {
    name: filled.name.trim(),
    ...place,
    ...(timeZone !== "" && { timeZone }),
    visitTimes,
    quietFrom: filled.quietFrom,
    quietUntil: filled.quietUntil,
    units: filled.units,
    warnProbability: filled.warnProbability,
    wakeMe: filled.wakeMe,
  };
}

function usePlace({ yard, units }: PageFrame) {
  const { latitude, longitude, altitudeM } = yard.yard;
  const rest = { units, optional: true };
  return {
    latitude: useEntry({ quantity: quantities.latitude, before: latitude, ...rest }),
    longitude: useEntry({ quantity: quantities.longitude, before: longitude, ...rest }),
    altitude: useEntry({ quantity: quantities.altitudeM, before: altitudeM, ...rest }),
  };
}

export function YardForm({ page }: { page: PageFrame }) {
  const [filled, setFilled] = useState(() => filledFrom(page.yard.yard));
  const sending = useSending();
  const set =
    <Part extends keyof Filled>(part: Part) =>
    (value: Filled[Part]) =>
      setFilled((before) => ({ ...before, [part]: value }));
  const { latitude, longitude, altitude } = usePlace(page);
  const save = () => {
    if (!areRight([latitude, longitude, altitude])) return;
    const visits = parseVisitTimes(filled.visits);
    if (!visits.ok) {
      sending.refuse(visits.problem);
      return;
    }
    const place = {
      visitTimes: visits.value,
      latitude: latitude.value ?? null,
      longitude: longitude.value ?? null,
      altitudeM: altitude.value ?? null,
    };
    sending.send(async () => {
      await callApi("PATCH", "/yard", settingsFrom(filled, place));
      await page.refresh();
    }, "Saved");
  };
  return (
    <Form send={save} label="The yard">
      <TextField label="Name" value={filled.name} set={set("name")} required />
      <EntryField label="Latitude" entry={latitude} />
      <EntryField label="Longitude" entry={longitude} />
      <EntryField label="Altitude" entry={altitude} />
      <TextField label="Time zone" value={filled.timeZone} set={set("timeZone")} />
      <SelectField
        label="Units to begin with"
        value={filled.units}
        set={(value) => set("units")(value === "us" ? "us" : "metric")}
        choices={[
          { value: "metric", words: "L, kg, °C" },
          { value: "us", words: "gal, lb, °F" },
        ]}
      />
      <TextField
        label="When you come by (empty: any hour from 7 to 21)"
        value={filled.visits}
        set={set("visits")}
        wide
      />
      <TextField label="Quiet from" kind="time" value={filled.quietFrom} set={set("quietFrom")} />
      <TextField label="until" kind="time" value={filled.quietUntil} set={set("quietUntil")} />
      <CheckField
        label="Wake me in quiet hours when a bucket is about to brim"
        value={filled.wakeMe}
        set={set("wakeMe")}
      />
      <Eagerness value={filled.warnProbability} set={set("warnProbability")} />
      <button type="submit" disabled={sending.busy}>
        Save
      </button>
      <Outcome sending={sending} />
    </Form>
  );
}

/** The cost-loss rule in plain words: warn when the chance exceeds trip cost over loss. */
export function eagernessWords(warnProbability: number): string {
  const ratio = Math.round(1 / warnProbability);
  return `One wasted trip costs about 1/${ratio} of a lost bucket: warn from a chance of ${formatShare(warnProbability)}.`;
}

function Eagerness({ value, set }: { value: number; set: (value: number) => void }) {
  return (
    <label class="field is-wide">
      <span>How eagerly to warn</span>
      <input
        type="range"
        min="0.05"
        max="0.5"
        step="0.01"
        value={value}
        aria-valuetext={eagernessWords(value)}
        onInput={(event) => set(Number(event.currentTarget.value))}
      />
      <span class="soft">{eagernessWords(value)}</span>
    </label>
  );
}
