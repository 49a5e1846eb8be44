// Fills in a person's own template for a web address, so that any push service understands it.
import { type Parsed, parsed, refused } from "../../shared/parsed.ts";
import type { PersonWebhook } from "../../shared/wire/notice-people.ts";
import type { Notice } from "./notifier.ts";

export type FilledTemplate = { contentType: string; body: string };

const contentTypes: Record<PersonWebhook["form"], string> = {
  json: "application/json",
  form: "application/x-www-form-urlencoded",
  text: "text/plain; charset=utf-8",
};
const place = /\{(title|text|kind|subject|severity|time)\}/g;

/** A JSON template is read before it is filled in, so that no words of a notice can break out of it. */
export function filledTemplate(
  { form, template }: Pick<PersonWebhook, "form" | "template">,
  notice: Notice,
): Parsed<FilledTemplate> {
  const contentType = contentTypes[form];
  const fill = (text: string, shield = (value: string) => value) =>
    text.replace(place, (_whole, name: string) => shield(wordsOf(notice, name)));
  if (form === "form") return parsed({ contentType, body: fill(template, encodeURIComponent) });
  if (form === "text") return parsed({ contentType, body: fill(template) });
  try {
    const read: unknown = JSON.parse(template);
    return parsed({ contentType, body: JSON.stringify(inStrings(read, fill)) });
  } catch {
    return refused("template requires JSON, got something else");
  }
}

function inStrings(value: unknown, fill: (text: string) => string): unknown {
  if (typeof value === "string") return fill(value);
  if (Array.isArray(value)) return value.map((each) => inStrings(each, fill));
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([name, each]) => [name, inStrings(each, fill)]),
  );
}

function wordsOf(notice: Notice, name: string): string {
  if (name === "time") return new Date(notice.atMs).toISOString();
  return String(notice[name as "title" | "text" | "kind" | "subject" | "severity"]);
}
