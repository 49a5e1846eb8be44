// The temperature at which to draw off, large enough to read across the yard, and how sure it is.
import {
  formatPanTemp,
  formatTempRise,
  lawWords,
  pressureWords,
  sureWords,
  thermometerWords,
  watchWords,
} from "../../shared/people/boil-words.ts";
import { quantities } from "../../shared/quantities.ts";
import type { Boil } from "../../shared/wire/boils.ts";
import type { BoilPlan } from "../../shared/wire/syrup.ts";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import { areRight, useEntry } from "../entry.ts";
import type { PageFrame } from "../page-frame.ts";
import { EntryField } from "./entry-field.tsx";
import { Form } from "./fields.tsx";
import { Outcome } from "./outcome.tsx";

/** Syrup may be this much off before it is no longer syrup by most rules, Brix. */
const unsureBrix = 2;

type Props = { page: PageFrame; plan: BoilPlan; boil: Boil | undefined; changed: () => void };

export function FinishMark({ page, plan, boil, changed }: Props) {
  const { units, nowMs } = page;
  const { finishing } = plan;
  const isUnsure = finishing.spreadBrix > unsureBrix;
  const [tenths = "", unit] = formatPanTemp(
    finishing.onThermometerC ?? finishing.finishingTempC,
    units,
  ).split(" ");
  const figure = isUnsure ? Number(tenths).toFixed(0) : tenths;
  const isUrgent = ["watch", "ready", "over"].includes(boil?.watch?.state ?? "");
  return (
    <section class={isUrgent ? "finish is-urgent" : "finish"} aria-label="When to draw off">
      <p class="finish-words">Draw off at{isUnsure && " about"}</p>
      <p class="finish-temp">
        {figure}
        <small>{unit}</small>
      </p>
      {isUnsure && (
        <p class="finish-words">
          Too unsure to draw off by, until the thermometer is zeroed below
          {plan.pressure.from === "standard" && " or the yard’s altitude is set"}.
        </p>
      )}
      <p class="finish-words">{thermometerWords(plan, units, nowMs)}</p>
      {boil?.watch != null && (
        <p class="pan-watch" role="status">
          {watchWords(boil.watch, nowMs)}
        </p>
      )}
      <p class="soft">
        For {finishing.aimBrix.toFixed(1)} Brix, {formatTempRise(finishing.riseC, units)} above
        boiling water, which boils at {formatPanTemp(finishing.waterBoilingTempC, units)} now.{" "}
        {sureWords(plan, units)} {lawWords(plan, units)} {pressureWords(plan, units, nowMs)}
      </p>
      <ZeroForm page={page} plan={plan} changed={changed} />
    </section>
  );
}

function ZeroForm({ page, plan, changed }: Omit<Props, "boil">) {
  const sending = useSending();
  const reading = useEntry({ quantity: quantities.boilingWaterC, units: page.units });
  const { thermometer, waterBoilingTempC } = plan.finishing;
  const send = () => {
    if (!areRight([reading])) return;
    const readingC = reading.value;
    sending.send(async () => {
      await callApi("POST", "/syrup/thermometer", { readingC });
      reading.reset();
      changed();
    }, "Zeroed for today");
  };
  return (
    <details class="fold" open={thermometer === null || thermometer.old}>
      <summary>Zero the thermometer in boiling water</summary>
      <p class="soft">
        Hold it in water at a rolling boil, not touching the pot, and say what it shows. It should
        show {formatPanTemp(waterBoilingTempC, page.units)} now. Do it on the day of every boil.
      </p>
      <Form send={send} label="Zero the thermometer">
        <EntryField label="It shows in boiling water" entry={reading} />
        <button type="submit" disabled={sending.busy}>
          Zero it
        </button>
        <Outcome sending={sending} />
      </Form>
    </details>
  );
}
