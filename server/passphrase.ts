// The one passphrase that opens the page to other machines; only its hash is kept.
import { z } from "zod";
import { type Parsed, parsed, refused } from "../shared/parsed.ts";
import type { Settings } from "./db/settings.ts";
import { createSecretCheck, hashSecret } from "./secrets.ts";

const settingName = "passphrase";
const leastLength = 8;
const mostLength = 1000;
const hashSchema = z.object({ salt: z.string(), hash: z.string() });

export type Passphrase = {
  isPassphraseSet(): boolean;
  /** Refuses one of less than 8 characters. */
  setPassphrase(text: string): Promise<Parsed<undefined>>;
  removePassphrase(): void;
  /** False also when none is set. */
  checkPassphrase(text: string): Promise<boolean>;
};

export function createPassphrase(settings: Settings): Passphrase {
  const isRight = createSecretCheck();
  const stored = () => hashSchema.safeParse(settings.getSetting(settingName)).data;
  return {
    isPassphraseSet: () => stored() !== undefined,
    async setPassphrase(text) {
      if (text.length < leastLength || text.length > mostLength) {
        return refused(
          `passphrase requires ${leastLength} to ${mostLength} characters, got ${text.length}`,
        );
      }
      settings.setSetting(settingName, await hashSecret(text));
      return parsed(undefined);
    },
    removePassphrase: () => settings.removeSetting(settingName),
    checkPassphrase(text) {
      const hash = stored();
      if (hash === undefined || text.length > mostLength) return Promise.resolve(false);
      return isRight(text, hash);
    },
  };
}
