// HTTP body of what speaks for the season's end: hints with their reasons.
import { z } from "zod";

export const seasonHintsSchema = z.object({
  /** That sap worth boiling ends within a week: advice. */
  probability: z.number().min(0).max(1),
  /** Days of frost and thaw heard so far. */
  frostThawDays: z.number().int().nonnegative(),
  hints: z.array(
    z.object({
      kind: z.enum(["vigour", "buds", "no-frost", "warmth", "sugar"]),
      sure: z.enum(["weak", "fair", "strong"]),
      text: z.string(),
    }),
  ),
});
export type SeasonHintsView = z.infer<typeof seasonHintsSchema>;
