// What a person wishes to be told: from a filled form, and in words.
import type { AlarmKind, Severity } from "../shared/wire/api.ts";
import type { NoticePerson, NoticePersonPost } from "../shared/wire/notice-people.ts";

export const kindWords: Record<AlarmKind, string> = {
  brim: "over before you come",
  brimful: "at the rim",
  boil: "sap to boil soon",
  sour: "sap past its time",
  frozen: "ice in a bucket",
  vessel: "a vessel full or old",
  silent: "not heard any more",
  doubtful: "a cell in doubt",
  supply: "low battery",
  care: "the server needs care",
  ending: "the season's end",
};
export const allKinds = Object.keys(kindWords) as AlarmKind[];

export const severityWords: Record<Severity, string> = {
  advice: "everything, advice too",
  soon: "what must be done soon or now",
  now: "only what must be done now",
};

export type FilledWishes = {
  name: string;
  mailTo: string;
  url: string;
  form: "json" | "form" | "text";
  template: string;
  authorization: string;
  kinds: ReadonlySet<AlarmKind>;
  fromSeverity: Severity;
  quietFrom: string;
  quietUntil: string;
  wake: boolean;
  digest: string;
};

/** Of a person who is added: only what presses, and not at night. */
const firstWishes: NoticePersonPost = {
  ...{ name: "", mailTo: null, webhook: null, kinds: null, fromSeverity: "soon" },
  ...{ quiet: { from: "22:00", until: "06:30" }, wake: false, digest: null },
};

export function filledFrom(person: NoticePerson | undefined): FilledWishes {
  const { name, mailTo, webhook, kinds, fromSeverity, quiet, wake, digest } = person ?? firstWishes;
  return {
    name,
    mailTo: mailTo ?? "",
    ...webhookFrom(webhook),
    kinds: new Set(kinds ?? allKinds),
    fromSeverity,
    quietFrom: quiet?.from ?? "",
    quietUntil: quiet?.until ?? "",
    wake,
    digest: digest ?? "",
  };
}

function webhookFrom(webhook: NoticePersonPost["webhook"]) {
  return webhook ?? { url: "", form: "json" as const, template: "", authorization: "" };
}

/** What to send; a way left empty is switched off, and so are quiet hours without a time. */
export function wishesFrom(filled: FilledWishes): NoticePersonPost {
  const { name, mailTo, url, form, template, authorization, kinds, fromSeverity, wake, digest } =
    filled;
  const { quietFrom: from, quietUntil: until } = filled;
  const hasWebhook = url.trim() !== "";
  return {
    name: name.trim(),
    mailTo: mailTo.trim() === "" ? null : mailTo.trim(),
    webhook: hasWebhook
      ? { url: url.trim(), form, template, authorization: authorization.trim() }
      : null,
    // Every kind, also one that a later version brings.
    kinds: kinds.size === allKinds.length ? null : allKinds.filter((kind) => kinds.has(kind)),
    fromSeverity,
    quiet: from === "" || until === "" ? null : { from, until },
    wake,
    digest: digest === "" ? null : digest,
  };
}

export function kindsWords(kinds: readonly AlarmKind[] | null): string {
  if (kinds === null) return "every kind";
  if (kinds.length === 0) return "nothing";
  const left = allKinds.filter((kind) => !kinds.includes(kind));
  if (left.length < kinds.length)
    return `all but ${left.map((kind) => kindWords[kind]).join(", ")}`;
  return kinds.map((kind) => kindWords[kind]).join(", ");
}

export function quietWords(quiet: NoticePersonPost["quiet"], wake: boolean): string {
  if (quiet === null || quiet.from === quiet.until) return "at any hour";
  const rule = wake ? "but for what must be done now" : "all waits till then";
  return `quiet from ${quiet.from} until ${quiet.until}, ${rule}`;
}
