// Sets up the demo's trees, taps and buckets through the same HTTP calls that the page makes.
import { z } from "zod";
import type { Ask } from "./demo-people.ts";

/** What the simulated board program prints with --plan. */
export const demoPlanSchema = z.array(
  z.object({
    board: z.string(),
    cell: z.string(),
    tree: z.string(),
    species: z.string(),
    girthCm: z.number(),
    taps: z.number().int(),
    capacityL: z.number(),
    emptyKg: z.number(),
  }),
);
export type DemoPlan = z.infer<typeof demoPlanSchema>;

/** Throws an Error with the server's own words when it refuses anything. */
export async function setUpYard(send: Ask, plan: DemoPlan, fromMs: number): Promise<void> {
  const placed: Place[] = [{ place: "home", xM: 0, yM: 0 }];
  await send("PATCH", "yard", { name: "Nine Acre Yard" });
  for (const [index, tree] of plan.entries()) {
    const { id: treeId } = await send("POST", "trees", {
      label: tree.tree,
      species: tree.species,
      girthCm: tree.girthCm,
    });
    placed.push({ place: `tree/${treeId}`, ...standsAt(index) });
    const tapIds: string[] = [];
    for (let tap = 0; tap < tree.taps; tap += 1) {
      const hole = holeOf(tree.girthCm, { index, tap });
      tapIds.push((await send("POST", "taps", { treeId, tappedMs: fromMs, ...hole })).id);
    }
    await send("POST", "buckets", {
      label: tree.tree,
      tapIds,
      cell: `${tree.board}/${tree.cell}`,
      capacityL: tree.capacityL,
      emptyKg: tree.emptyKg,
      fromMs,
    });
  }
  await send("PATCH", "sketch", { places: placed });
  await setUpVessels(send, fromMs);
}

/** Where this year's holes were drilled: here and there, about breast high. */
function holeOf(girthCm: number, { index, tap }: { index: number; tap: number }) {
  const share = (0.15 + 0.23 * index + 0.5 * tap) % 1;
  const heightCm = 85 + 8 * ((index * 3 + tap) % 5);
  return { aroundCm: Math.round(share * girthCm), heightCm, bitMm: 7.9, depthMm: 38 };
}

type Place = { place: string; xM: number; yM: number };

/** Two strings of trees on either side of the sugarhouse. */
function standsAt(index: number): { xM: number; yM: number } {
  const side = index < treesAside ? -1 : 1;
  const along = index % treesAside;
  return { xM: side * (14 + 9 * along), yM: (along % 2 === 0 ? -1 : 1) * (6 + 4 * along) - 4 };
}

const treesAside = 6;

/**
 * A barrel that the rounds go into, and a can that stands by. The barrel is put away until its past is boiled down:
 * till then it holds the gatherings of all the days that are filled in, and would be said to be too full.
 */
async function setUpVessels(send: Ask, fromMs: number): Promise<void> {
  const { id } = await send("POST", "vessels", { label: "Barrel", capacityL: 150, fromMs });
  await send("PATCH", `vessels/${id}`, { parked: true, filling: true, fromMs });
  await send("POST", "vessels", { label: "Milk Can", capacityL: 40, place: "cooler", fromMs });
}

/** Asks a server, and throws an Error with its own words when it refuses. */
export function createAsk(httpUrl: string): Ask {
  return async <T>(method: string, path: string, body?: unknown) => {
    const answer = await fetch(`${httpUrl}/api/v1/${path}`, {
      method,
      headers: { "content-type": "application/json" },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    if (!answer.ok) throw new Error(`${method} ${path}: ${await answer.text()}`);
    return (await answer.json()) as T;
  };
}
