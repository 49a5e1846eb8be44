// Sets up the demo's trees, taps and buckets through the same HTTP calls that the page makes.
import { z } from "zod";

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

type Send = (method: "POST" | "PATCH", path: string, body: unknown) => Promise<{ id: string }>;

/** Throws an Error with the server's own words when it refuses anything. */
export async function setUpYard(httpUrl: string, plan: DemoPlan, fromMs: number): Promise<void> {
  const send = createSend(httpUrl);
  await send("PATCH", "yard", { name: "Nine Acre Yard" });
  for (const tree of plan) {
    const { id: treeId } = await send("POST", "trees", {
      label: tree.tree,
      species: tree.species,
      girthCm: tree.girthCm,
    });
    const tapIds: string[] = [];
    for (let tap = 0; tap < tree.taps; tap += 1) {
      tapIds.push((await send("POST", "taps", { treeId, tappedMs: fromMs })).id);
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
}

function createSend(httpUrl: string): Send {
  return async (method, path, body) => {
    const answer = await fetch(`${httpUrl}/api/v1/${path}`, {
      method,
      headers: { "content-type": "application/json" },
      body: JSON.stringify(body),
    });
    if (!answer.ok) throw new Error(`${method} ${path}: ${await answer.text()}`);
    return (await answer.json()) as { id: string };
  };
}
