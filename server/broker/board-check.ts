// Checks a board's name and secret for those who bring readings another way than over MQTT.
import type { Credentials } from "../db/credentials.ts";
import { createSecretCheck } from "../secrets.ts";

/** True when the name is an enrolled board's and the secret is its own. */
export function createBoardCheck(
  credentials: Pick<Credentials, "findCredential">,
): (board: string, secret: string) => Promise<boolean> {
  const isRight = createSecretCheck();
  return async (board, secret) => {
    const stored = credentials.findCredential(board);
    return stored?.kind === "board" && (await isRight(secret, stored));
  };
}
