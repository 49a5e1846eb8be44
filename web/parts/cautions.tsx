// What to mind at a piece of work: the hazards by name, opened into what to do about each.
import { type CautionTopic, cautionsDefer, cautionsFor } from "../../shared/people/cautions.ts";
import { formatList } from "../../shared/people/format.ts";

export function Cautions({ topic }: { topic: CautionTopic }) {
  const cautions = cautionsFor(topic);
  return (
    <details class="cautions">
      <summary>
        <b>Take care:</b> {formatList(cautions.map(({ hazard }) => hazard))}
      </summary>
      <dl>
        {cautions.map(({ hazard, advice, source }) => (
          <div key={hazard}>
            <dt>{hazard}</dt>
            <dd>
              {advice}
              {source !== undefined && <span class="soft"> ({source})</span>}
            </dd>
          </div>
        ))}
      </dl>
      <p class="soft">{cautionsDefer}</p>
    </details>
  );
}
