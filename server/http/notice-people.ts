// People who get notices, as an owner sets them; what is secret never comes back out.
import { createHash } from "node:crypto";
import {
  channelAnswerSchema,
  channelTestSchema,
  type NoticePerson,
  type NoticePersonPost,
  noticePeopleSchema,
  noticePersonPatchSchema,
  noticePersonPostSchema,
  noticePersonSchema,
  type PersonWebhook,
} from "../../shared/wire/notice-people.ts";
import { changedBy } from "../db/changed-by.ts";
import type { StoredPerson } from "../db/notice-people.ts";
import { pushChannel } from "../notify/person-channels.ts";
import { filledTemplate } from "../notify/template.ts";
import { maskedWebhook, secretMissing, secretShown, webhookUrlFrom } from "./notices.ts";
import type { HttpParts } from "./parts.ts";
import { fieldProblem } from "./problem.ts";
import { type Route, route } from "./route.ts";

type Parts = Pick<HttpParts, "noticePeople" | "postman" | "clock">;

export function noticePeopleRoutes(parts: Parts): Route[] {
  const { noticePeople, postman } = parts;
  const view = (person: StoredPerson) => noticePersonView(person, postman);
  return [
    route({
      method: "get",
      path: "/notice-people",
      summary: "People who get notices and how each way to them does; secrets come back as set",
      mayUse: "owner",
      answer: noticePeopleSchema,
      handle: () => noticePeople.listPeople().map(view),
    }),
    route({
      method: "post",
      path: "/notice-people",
      summary: "Add a person who gets notices",
      body: noticePersonPostSchema,
      answer: noticePersonSchema,
      status: 201,
      handle: ({ body }) => {
        const id = noticePeople.insertPerson(unmasked(body, undefined, parts));
        return view(noticePeople.findPerson(id));
      },
    }),
    route({
      method: "patch",
      path: "/notice-people/{id}",
      summary: "Change what a person is told and how",
      body: noticePersonPatchSchema,
      answer: noticePersonSchema,
      handle: ({ id, body }) => {
        const before = noticePeople.findPerson(personId(id));
        const { id: key, browsers: _browsers, digestDay: _digestDay, ...wishes } = before;
        const next = unmasked(changedBy(wishes, body), before, parts);
        noticePeople.updatePerson(key, next);
        dropChanged(parts, before, next);
        return view(noticePeople.findPerson(key));
      },
    }),
    route({
      method: "delete",
      path: "/notice-people/{id}",
      summary: "Send a person no more notices",
      handle: ({ id }) => noticePeople.removePerson(personId(id)),
    }),
    route({
      method: "post",
      path: "/notice-people/{id}/test",
      summary: "Send a test notice by one way now and say what the other side answered",
      body: channelTestSchema,
      answer: channelAnswerSchema,
      handle: ({ id, body }) => postman.test(personId(id), body.channel),
    }),
  ];
}

export function noticePersonView(
  person: StoredPerson,
  postman: Pick<HttpParts["postman"], "states">,
): NoticePerson {
  const browsers = person.browsers.map(({ id, label, subscription, goneMs }) => {
    const mark = createHash("sha256").update(subscription.endpoint).digest("hex");
    return { channel: pushChannel(id), label, mark, isGone: goneMs !== null };
  });
  const channels = postman.states(person.id);
  const { digestDay: _digestDay, ...shown } = masked(person);
  return { ...shown, id: String(person.id), browsers, channels };
}

/** Of a text that is no number, the store says that there is no such person. */
export function personId(text: string): number {
  return /^\d{1,9}$/.test(text) ? Number(text) : -1;
}

/** What went wrong with another address says nothing of this one. */
function dropChanged(
  { noticePeople }: Pick<Parts, "noticePeople">,
  before: StoredPerson,
  next: NoticePersonPost,
): void {
  if (before.mailTo !== next.mailTo) noticePeople.dropChannel(before.id, "email");
  const isSame = JSON.stringify(before.webhook) === JSON.stringify(next.webhook);
  if (!isSame) noticePeople.dropChannel(before.id, "webhook");
}

function masked<T extends NoticePersonPost>(person: T): T {
  const { webhook } = person;
  if (webhook === null) return person;
  const authorization = webhook.authorization === "" ? "" : secretShown;
  return { ...person, webhook: { ...webhook, url: maskedWebhook(webhook.url), authorization } };
}

/** What came in, with stored secrets put back where their masks came in unchanged. */
function unmasked(
  next: NoticePersonPost,
  before: NoticePersonPost | undefined,
  { clock }: Pick<Parts, "clock">,
): NoticePersonPost {
  const mailTo = next.mailTo === "" ? null : next.mailTo;
  if (next.webhook === null) return { ...next, mailTo };
  requireTemplate(next.webhook, clock.nowMs());
  const stored = before?.webhook ?? undefined;
  const url = webhookUrlFrom(next.webhook.url, stored?.url);
  const authorization = authorizationFrom(next.webhook.authorization, stored, url);
  return { ...next, mailTo, webhook: { ...next.webhook, url, authorization } };
}

/** A stored secret goes to the host it was given for and to no other. */
function authorizationFrom(text: string, stored: PersonWebhook | undefined, url: string): string {
  if (/[\r\n]|[^\u0020-\u00ff]/.test(text)) {
    const expected = "one line of plain letters";
    throw fieldProblem("webhook.authorization", expected, "something else");
  }
  if (text !== secretShown) return text;
  const isSameHost = stored !== undefined && new URL(stored.url).origin === new URL(url).origin;
  if (isSameHost) return stored.authorization;
  throw secretMissing("webhook.authorization", "value");
}

function requireTemplate(webhook: PersonWebhook, atMs: number): void {
  if (webhook.template.trim() === "") return;
  const sample = { kind: "test", subject: "", title: "", text: "", severity: "advice" } as const;
  if (filledTemplate(webhook, { ...sample, atMs }).ok) return;
  throw fieldProblem("webhook.template", "JSON with the places in its strings", "something else");
}
