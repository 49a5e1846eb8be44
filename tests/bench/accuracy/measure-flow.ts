// All seasons of one kind of tree as the filter sees them: gathered in the evening, on cells with all their faults.
import { createEventScore, type EventTable } from "./event-score.ts";
import { type FlowBaseline, flowBaselines, productFilter } from "./flow-baselines.ts";
import { createFlowScore, type FlowFigures } from "./flow-score.ts";
import { gatheredByEvening } from "./handling.ts";
import { type MeasureSettings, startMs, warmUpMs } from "./measure.ts";
import { createOnsetScore, type OnsetFigures } from "./onset-score.ts";
import { createSeasonWeather } from "./season-weather.ts";
import { createVolumeScore, type VolumeFigures } from "./volume-score.ts";
import { followTree, type TreeKind } from "./yard.ts";

export type FlowMeasured = {
  kind: TreeKind;
  flow: [string, FlowFigures][];
  events: EventTable;
  volumes: VolumeFigures;
  onsets: OnsetFigures;
};

export function measureFlow(settings: MeasureSettings): FlowMeasured {
  const all: FlowBaseline[] = [["Brimful", productFilter], ...flowBaselines];
  const flowScores = all.map(([name, make]) => createFlowScore(name, make()));
  const events = createEventScore();
  const volumes = createVolumeScore();
  const onsets = createOnsetScore();
  const { kind, days, trees, onDays } = settings;
  for (let season = 0; season < settings.seasons; season += 1) {
    const seed = settings.seed + season;
    const weather = createSeasonWeather({ seed, fromMs: startMs - warmUpMs, days });
    for (let place = 0; place < trees; place += 1) {
      const scores = [...flowScores, onsets];
      for (const score of scores) score.restart();
      const tree = { kind, seed: 1000 * seed + place, weather, startMs, days, scores };
      const followed = followTree({ ...tree, handling: gatheredByEvening, hasFaults: true });
      events.take(followed, days);
      volumes.take(followed, { startMs, days });
      onDays?.(days);
    }
  }
  const flow = flowScores.map((score): [string, FlowFigures] => [score.name, score.figures()]);
  const rest = { volumes: volumes.figures(), onsets: onsets.figures() };
  return { kind, flow, events: events.table(), ...rest };
}
