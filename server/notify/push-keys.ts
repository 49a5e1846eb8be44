// The key pair by which push services know this yard's server (VAPID, RFC 8292); made once and kept.
import webPush from "web-push";
import type { Settings } from "../db/settings.ts";

export type PushKeys = { publicKey: string; privateKey: string };

const settingName = "pushKeys";

/** Made when first asked for. A yard restored from a backup has the same, so its browsers still listen. */
export function pushKeysIn(settings: Pick<Settings, "getSetting" | "setSetting">): PushKeys {
  const kept = settings.getSetting(settingName) as PushKeys | undefined;
  if (kept !== undefined) return kept;
  const made = webPush.generateVAPIDKeys();
  settings.setSetting(settingName, made);
  return made;
}
