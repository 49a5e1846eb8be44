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
export async function setUpYard(httpUrl: string, plan: DemoPlan, span: Span): Promise<void> {
  const { fromMs } = span;
  const send = createSend(httpUrl);
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
  await send("PATCH", "sketch", { places: placed });
  await setUpVessels(send, span);
}

/** From the first reading of the past that is filled in until now. */
type Span = { fromMs: number; nowMs: number };
type Place = { place: string; xM: number; yM: number };

/** Two strings of trees on either side of the sugarhouse. */
function standsAt(index: number): { xM: number; yM: number } {
  const side = index < treesAside ? -1 : 1;
  const along = index % treesAside;
  return { xM: side * (14 + 9 * along), yM: (along % 2 === 0 ? -1 : 1) * (6 + 4 * along) - 4 };
}

const treesAside = 6;
const boilsEveryMs = 48 * 3_600_000;

/** A barrel that the rounds go into and that is boiled down every other morning, and a can that stands by. */
async function setUpVessels(send: Send, { fromMs, nowMs }: Span): Promise<void> {
  const barrel = await send("POST", "vessels", { label: "Barrel", capacityL: 150, fromMs });
  await send("POST", "vessels", { label: "Milk Can", capacityL: 40, place: "cooler", fromMs });
  for (let atMs = fromMs + boilsEveryMs; atMs < nowMs; atMs += boilsEveryMs) {
    await send("POST", `vessels/${barrel.id}/pours`, { kind: "boil", atMs });
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
