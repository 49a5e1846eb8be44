// All seasons of one kind of tree as the filter sees them: gathered in the evening, on cells with all their faults.
import { halfHourMs, withoutWet } from "../../../server/domain/rain/wet.ts";
import { createEventScore, type EventTable } from "./event-score.ts";
import { type FlowBaseline, flowBaselines, productFilter } from "./flow-baselines.ts";
import {
  createFlowScore,
  type FlowFigures,
  type FlowListener,
  type FlowScore,
} from "./flow-score.ts";
import { gatheredByEvening } from "./handling.ts";
import { type MeasureSettings, startMs, warmUpMs } from "./measure.ts";
import { createOnsetScore, type OnsetFigures } from "./onset-score.ts";
import { createSeasonWeather } from "./season-weather.ts";
import { createVolumeScore, type VolumeFigures } from "./volume-score.ts";
import { followTree, type TreeKind } from "./yard.ts";
import { type WetFigures, type WetHalfHours, wetFigures, wetHalfHours } from "./yard-wet.ts";

export type FlowMeasured = {
  kind: TreeKind;
  flow: [string, FlowFigures][];
  events: EventTable;
  volumes: VolumeFigures;
  onsets: OnsetFigures;
  wet: WetFigures;
};

export function measureFlow(settings: MeasureSettings): FlowMeasured {
  const all: FlowBaseline[] = [["Brimful", productFilter], ...flowBaselines];
  const flowScores = all.map(([name, make]) => createFlowScore(name, make()));
  const events = createEventScore();
  const volumes = createVolumeScore();
  const onsets = createOnsetScore();
  const dried = createFlowScore("Brimful, snow taken off", productFilter());
  const wetSums = { snowy: 0, found: 0, dry: 0, falseOnes: 0 };
  const { kind, days, trees, onDays } = settings;
  for (let season = 0; season < settings.seasons; season += 1) {
    const seed = settings.seed + season;
    const weather = createSeasonWeather({ seed, fromMs: startMs - warmUpMs, days });
    const follow = (place: number, scores: readonly FlowListener[]) => {
      for (const score of scores) score.restart();
      const tree = { kind, seed: 1000 * seed + place, weather, startMs, days, scores };
      const followed = followTree({ ...tree, handling: gatheredByEvening, hasFaults: true });
      onDays?.(days / 2);
      return followed;
    };
    const places = Array.from({ length: trees }, (_, place) => place);
    const yard = places.map((place) => follow(place, [...flowScores, onsets]));
    for (const followed of yard) {
      events.take(followed, days);
      volumes.take(followed, { startMs, days });
    }
    const wet = wetHalfHours(yard, { startMs, days, weather });
    addFigures(wetSums, wetFigures(wet, { startMs, days, weather }));
    // The same readings once more, now that it is known what fell on all of them.
    for (const place of places) follow(place, [dry(dried, wet)]);
  }
  const [own, ...others] = flowScores;
  const shown = [...(own === undefined ? [] : [own]), dried, ...others];
  const flow = shown.map((score): [string, FlowFigures] => [score.name, score.figures()]);
  const rest = { volumes: volumes.figures(), onsets: onsets.figures(), wet: wetSums };
  return { kind, flow, events: events.table(), ...rest };
}

function addFigures(sums: WetFigures, more: WetFigures): void {
  sums.snowy += more.snowy;
  sums.found += more.found;
  sums.dry += more.dry;
  sums.falseOnes += more.falseOnes;
}

/** Hears the flow as the page shows it: less what fell in the last half hour that is over. */
function dry(score: FlowScore, wet: WetHalfHours): FlowListener {
  return {
    restart: score.restart,
    take(moment) {
      const { atMs } = moment.reading;
      const overMs = Math.floor(atMs / halfHourMs) * halfHourMs;
      const fell = wet.get(overMs);
      const now = fell && { ...fell, untilMs: overMs + halfHourMs };
      score.take({ ...moment, estimate: withoutWet(moment.estimate, now) });
    },
  };
}
