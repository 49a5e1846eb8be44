// When a boil that is over was begun and ended: nobody thinks of the log while the pan foams.
import type { Boil } from "../../shared/wire/boils.ts";
import { callApi } from "../api.ts";
import type { Sending } from "../asking.ts";
import { type Moment, useMoment } from "../moment.ts";
import type { PageFrame } from "../page-frame.ts";
import { Form } from "./fields.tsx";
import { MomentField } from "./moment-field.tsx";

export function BoilTimes(props: { page: PageFrame; boil: Boil; change: Sending["send"] }) {
  const { page, boil, change } = props;
  const { nowMs, timeZone } = page;
  const begun = useMoment({ nowMs, timeZone, before: boil.startedMs });
  const ended = useMoment({ nowMs, timeZone, before: boil.endedMs });
  const send = () => {
    for (const moment of [begun, ended]) moment.tell();
    if (typeof begun.value !== "number" || typeof ended.value !== "number") return;
    const times = { ...changed("startedMs", begun), ...changed("endedMs", ended) };
    change(() => callApi("PATCH", `/boils/${boil.id}`, times), "Corrected");
  };
  return (
    <Form send={send} label="When it was">
      <MomentField label="Begun" moment={begun} />
      <MomentField label="Over" moment={ended} />
      <button type="submit">Correct the times</button>
    </Form>
  );
}

/** The field shows whole minutes: what nobody touched stays exact. */
function changed(field: string, { isChanged, value }: Moment) {
  return isChanged ? { [field]: value } : {};
}
