// People who get notices: HTTP bodies of /api/v1/notice-people; secrets come back as the word "set".
import { z } from "zod";
import { alarmKindSchema, severitySchema } from "./api.ts";
import { label, ms } from "./fields.ts";

const timeOfDay = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/);

const personWebhookSchema = z.strictObject({
  url: z.string().max(1000),
  /** How the template is filled in: values escaped for JSON, for a form, or as they are. */
  form: z.enum(["json", "form", "text"]),
  /** With {title} {text} {kind} {subject} {severity} {time}; empty sends the notice's own JSON. */
  template: z.string().max(4000),
  /** Sent as the Authorization header; empty sends none. */
  authorization: z.string().max(500),
});
export type PersonWebhook = z.infer<typeof personWebhookSchema>;

const personFields = {
  name: label,
  /** Addresses, with commas between; sent through the mail server of /notices. */
  mailTo: z.string().trim().max(400).nullable(),
  webhook: personWebhookSchema.nullable(),
  /** Null is every kind. */
  kinds: z.array(alarmKindSchema).max(20).nullable(),
  fromSeverity: severitySchema,
  /** In the yard's time zone; null is no quiet hours, and so are equal times. */
  quiet: z.strictObject({ from: timeOfDay, until: timeOfDay }).nullable(),
  /** Whether what must be done now breaks through the quiet hours; all else waits for their end. */
  wake: z.boolean(),
  /** When the evening's digest goes out, in the yard's time zone; null is none. */
  digest: timeOfDay.nullable(),
};

const channelKey = z.string().regex(/^(email|webhook|push-\d{1,9})$/);

/** As browsers hand it out (Push API); keys are base64url of 65 and 16 bytes (RFC 8291). */
const pushSubscriptionSchema = z.strictObject({
  endpoint: z.string().max(1000),
  keys: z.strictObject({
    p256dh: z.string().regex(/^[\w-]{87}$/),
    auth: z.string().regex(/^[\w-]{22}$/),
  }),
});
export type PushSubscription = z.infer<typeof pushSubscriptionSchema>;
export const browserPostSchema = z.strictObject({ label, subscription: pushSubscriptionSchema });

const noticeBrowserSchema = z.object({
  channel: channelKey,
  label,
  /** SHA-256 of its endpoint, so that a browser finds itself and nobody learns the endpoint. */
  mark: z.string(),
  isGone: z.boolean(),
});

export const pushKeySchema = z.object({ publicKey: z.string() });

/** How a channel does: what the other side said last. */
const channelStateSchema = z.object({
  channel: channelKey,
  /** Trying again, or dead since a notice was given up. */
  state: z.enum(["fine", "trying", "dead"]),
  answer: z.string(),
  atMs: ms,
  /** Notices that wait for another attempt. */
  waiting: z.number().int().min(0),
});
export type ChannelState = z.infer<typeof channelStateSchema>;

export const noticePersonSchema = z.object({
  id: z.string(),
  ...personFields,
  browsers: z.array(noticeBrowserSchema),
  channels: z.array(channelStateSchema),
});
export type NoticePerson = z.infer<typeof noticePersonSchema>;

export const noticePersonPostSchema = z.strictObject(personFields);
export type NoticePersonPost = z.infer<typeof noticePersonPostSchema>;
export const noticePersonPatchSchema = z.strictObject(z.strictObject(personFields).partial().shape);

export const noticePeopleSchema = z.array(noticePersonSchema);

export const channelTestSchema = z.strictObject({ channel: channelKey });
export const channelAnswerSchema = z.object({ ok: z.boolean(), answer: z.string() });
export type ChannelAnswer = z.infer<typeof channelAnswerSchema>;
