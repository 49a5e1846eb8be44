// HTTP body of /api/v1/joining: what a board has to know to publish here.
import { z } from "zod";

export const joiningSchema = z.object({
  /** Where the broker listens, or where it is; null: on every address of this machine. */
  host: z.string().nullable(),
  port: z.number().int().min(1).max(65_535),
  tls: z.boolean(),
  /** False for a broker that is run beside this server, which knows its own names and secrets. */
  ownBroker: z.boolean(),
  /** With one board enrolled every board needs a secret. */
  enrolled: z.boolean(),
});
export type Joining = z.infer<typeof joiningSchema>;
