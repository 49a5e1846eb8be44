// All seasons of one kind of tree: the filter on its cells, then the warnings on what the filter says.
import { createDayScores, type DayFigures } from "./day-score.ts";
import { createForecastScores, type LeadFigures } from "./forecast-score.ts";
import { createSeasonWeather } from "./season-weather.ts";
import { type SeasonOutcomes, warnThrough } from "./warnings.ts";
import { followTree, type TreeKind } from "./yard.ts";

export type MeasureSettings = {
  kind: TreeKind;
  seed: number;
  seasons: number;
  trees: number;
  days: number;
  /** Told with tree-days as they are done. */
  onDays?: (treeDays: number) => void;
};

export type Measured = {
  kind: TreeKind;
  leads: Map<string, LeadFigures[]>;
  byDay: DayFigures[];
  seasons: SeasonOutcomes[];
};

export const startMs = Date.UTC(2026, 1, 20);
export const warmUpMs = 2 * 86_400_000;
/** Of the whole work, the share that following the cells takes. */
const followShare = 0.1;

export function measureKind(settings: MeasureSettings): Measured {
  const scores = createForecastScores();
  const dayScores = createDayScores();
  const seasons: SeasonOutcomes[] = [];
  for (let season = 0; season < settings.seasons; season += 1) {
    const seed = settings.seed + season;
    const { kind, days, trees: treeCount, onDays } = settings;
    const weather = createSeasonWeather({ seed, fromMs: startMs - warmUpMs, days });
    const trees = Array.from({ length: treeCount }, (_, place) => {
      const tree = { kind, seed: 1000 * seed + place, weather, startMs, days };
      const followed = followTree({ ...tree, scores: [] });
      onDays?.(followShare * days);
      return followed;
    });
    const onHour = () => onDays?.(((1 - followShare) * treeCount * days) / ((days - 3) * 16));
    seasons.push(warnThrough({ weather, startMs, days, trees }, { scores, dayScores, onHour }));
  }
  return { kind: settings.kind, leads: scores.figures(), byDay: dayScores.figures(), seasons };
}
