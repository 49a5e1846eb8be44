// Where gathered sap waits: which vessel holds what, since when, how it keeps and which to boil first.
import { formatDeadline, formatVolume } from "../../shared/people/format.ts";
import type { VesselView } from "../../shared/wire/vessels.ts";
import type { PageFrame } from "../page-frame.ts";
import { keepingAdvice } from "../pail-words.ts";
import { Cautions } from "../parts/cautions.tsx";
import { ClosedBanner, useIsClosed } from "../parts/closed-banner.tsx";
import { VesselCard } from "../parts/vessel-card.tsx";
import { VesselForm } from "../parts/vessel-forms.tsx";

export function VesselsPage({ page }: { page: PageFrame }) {
  const { vessels } = page.yard;
  const inUse = vessels.filter(({ parked }) => !parked);
  const away = vessels.filter(({ parked }) => parked);
  const isClosed = useIsClosed(page);
  return (
    <>
      {isClosed && <ClosedBanner year={page.yard.season.year} />}
      <p class="sentence">{vesselSentence(page)}</p>
      {inUse.some(({ keeping }) => keeping !== null) && <p class="soft">{keepingAdvice}</p>}
      <div class="vessels">
        {[...inUse, ...away].map((vessel) => (
          <VesselCard key={vessel.id} vessel={vessel} page={page} />
        ))}
      </div>
      <Cautions topic="keeping" />
      <section>
        <h2>Add a vessel</h2>
        <VesselForm page={page} />
      </section>
    </>
  );
}

/** "52.0 L in 2 vessels: boil what is in Barrel first, by Thursday noon." */
export function vesselSentence(page: PageFrame): string {
  const { vessels } = page.yard;
  if (vessels.length === 0) {
    return "Add the vessel that you empty the buckets into: it then fills by what the cells see.";
  }
  const holding = vessels.filter(({ volumeL }) => volumeL >= 0.05);
  const first = holding.find(({ useFirst }) => useFirst) ?? holding[0];
  if (first === undefined) return "No gathered sap is waiting.";
  const volumeL = holding.reduce((sum, vessel) => sum + vessel.volumeL, 0);
  const where = holding.length === 1 ? first.label : `${holding.length} vessels`;
  if (first.keeping?.boilByMs == null) {
    return `${formatVolume(volumeL, page.units)} in ${where}: it keeps for now.`;
  }
  const order = holding.length === 1 ? "boil it" : `boil what is in ${first.label} first`;
  return `${formatVolume(volumeL, page.units)} in ${where}: ${order}${byWords(first, page)}.`;
}

function byWords({ keeping }: VesselView, page: PageFrame): string {
  const boilByMs = keeping?.boilByMs ?? null;
  if (boilByMs === null) return "";
  if (boilByMs <= page.nowMs) return ", but smell it before: it is past its boil-by";
  return ` by ${formatDeadline(boilByMs, page)}`;
}
