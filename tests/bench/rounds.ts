// Planning a round: exactly for a dozen buckets, nearly for two dozen.
import { planRound, type RoundTask, usualEffort } from "../../server/domain/rounds/plan.ts";
import { createRandom } from "../helpers/random.ts";
import { type Figure, quantile } from "./figures.ts";

const rounds = 30;
const roundsToWarmUp = 5;
const goalMs = 20;

export function planner(): Figure[] {
  const exact = timed(12);
  const nearly = timed(24);
  const usual = quantile(exact, 0.5);
  return [
    {
      name: "round among 12 buckets, exact, p50 / p95",
      value: `${usual.toFixed(1)} / ${quantile(exact, 0.95).toFixed(1)} ms`,
      goal: { text: `p50 under ${goalMs} ms`, reached: usual < goalMs },
    },
    {
      name: "round among 24 buckets, p50 / p95",
      value: `${quantile(nearly, 0.5).toFixed(0)} / ${quantile(nearly, 0.95).toFixed(0)} ms`,
    },
  ];
}

function timed(buckets: number): number[] {
  const random = createRandom(11);
  const times: number[] = [];
  for (let index = 0; index < rounds + roundsToWarmUp; index += 1) {
    const task = randomTask(buckets, random);
    const beganMs = performance.now();
    const { trips } = planRound(task);
    if (index >= roundsToWarmUp) times.push(performance.now() - beganMs);
    if (trips.length === 0) throw new Error("a round requires at least one trip, got none");
  }
  return times;
}

function randomTask(buckets: number, { uniform }: ReturnType<typeof createRandom>): RoundTask {
  const points = Array.from({ length: buckets + 1 }, () => ({
    x: 150 * uniform(),
    y: 150 * uniform(),
  }));
  return {
    stops: points
      .slice(1)
      .map(() => ({ loadKg: 2 + 9 * uniform(), benefitMin: 4 + 12 * uniform() })),
    distanceM: points.map((a) => points.map((b) => Math.hypot(a.x - b.x, a.y - b.y))),
    carryKg: 16,
    roomKg: null,
    effort: usualEffort,
  };
}
