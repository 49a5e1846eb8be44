// The boil: when to draw off, the next boil's plan, the log, is it right, bottling.
import { useState } from "preact/hooks";
import type { Batch, Boil } from "../../shared/wire/boils.ts";
import type { BoilSetup } from "../../shared/wire/syrup.ts";
import { useAsked, useTick } from "../asking.ts";
import type { PageFrame } from "../page-frame.ts";
import { BatchSums } from "../parts/batch-sums.tsx";
import { BoilLog } from "../parts/boil-log.tsx";
import { PlanSection, planBody, usePlan, usePlanEntries } from "../parts/boil-plan.tsx";
import { BoilSetupForm } from "../parts/boil-setup.tsx";
import { Bottling } from "../parts/bottling.tsx";
import { Cautions } from "../parts/cautions.tsx";
import { ClosedBanner, useIsClosed } from "../parts/closed-banner.tsx";
import { FinishMark } from "../parts/finish-mark.tsx";
import { Outcome } from "../parts/outcome.tsx";

// A pan near its end moves a Brix in a minute or two.
const askAgainMs = 20_000;

export function BoilPage({ page }: { page: PageFrame }) {
  const [count, setCount] = useState(0);
  const tick = useTick(askAgainMs);
  const again = `${count} ${tick}`;
  const changed = () => setCount((before) => before + 1);
  const entries = usePlanEntries(page);
  const asked = usePlan(planBody(entries), again);
  const boils = useAsked<Boil[]>("/boils", again);
  const batches = useAsked<Batch[]>("/batches", again);
  const setup = useAsked<BoilSetup>("/syrup/setup");
  const { plan } = asked;
  const open = boils.value?.findLast(({ endedMs }) => endedMs === null);
  const shared = { page, changed };
  const isClosed = useIsClosed(page);
  return (
    <>
      <h2 class="unseen">The boil</h2>
      {isClosed && <ClosedBanner year={page.yard.season.year} />}
      {plan !== undefined && <FinishMark {...shared} plan={plan} boil={open} />}
      <Cautions topic="boil" />
      <PlanSection page={page} asked={asked} entries={entries} />
      {boils.value !== undefined && <BoilLog {...shared} boils={boils.value} plan={plan} />}
      <Outcome sending={{ problem: boils.problem ?? batches.problem, done: undefined }} />
      {plan !== undefined && <BatchSums page={page} plan={plan} />}
      {boils.value !== undefined && (
        <Bottling
          {...shared}
          law={plan?.finishing.law}
          boils={boils.value}
          batches={batches.value ?? []}
        />
      )}
      <Cautions topic="bottling" />
      {setup.value !== undefined && (
        <section>
          <h2>Pan, fire and rules</h2>
          <BoilSetupForm {...shared} setup={setup.value} />
        </section>
      )}
    </>
  );
}
