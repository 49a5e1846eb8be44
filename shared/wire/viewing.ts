// Who may look and who may change: HTTP bodies of sessions and viewing links.
import { z } from "zod";
import { id, label, ms } from "./fields.ts";

export const roleSchema = z.enum(["owner", "viewer"]);
export type Role = z.infer<typeof roleSchema>;

/** What is secret in a link, 256 bits. */
const secret = z.string().regex(/^[A-Za-z0-9_-]{43}$/);

export const sessionPostSchema = z
  .strictObject({ passphrase: z.string().min(1).max(400).optional(), link: secret.optional() })
  .refine(({ passphrase, link }) => (passphrase === undefined) !== (link === undefined), {
    message: "either passphrase or link",
  });
export const sessionSchema = z.object({
  signedIn: z.boolean(),
  passphraseSet: z.boolean(),
  /** Null for who may not come in. */
  role: roleSchema.nullable(),
});
export type Session = z.infer<typeof sessionSchema>;

export const viewingLinkSchema = z.object({ id, label, createdMs: ms });
export type ViewingLink = z.infer<typeof viewingLinkSchema>;
export const viewingLinkPostSchema = z.strictObject({ label });
/** Told this once. */
export const newViewingLinkSchema = viewingLinkSchema.extend({ secret });
export type NewViewingLink = z.infer<typeof newViewingLinkSchema>;
