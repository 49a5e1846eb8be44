// Holds what came in to its schema and says field by field what was expected and what came.
import type { z } from "zod";
import { type FieldProblem, HttpProblem } from "./problem.ts";

type Issue = z.core.$ZodIssue;

const mostShown = 60;

/** The value as the schema gives it. Throws HttpProblem 422 with every field that is wrong. */
export function checked<S extends z.ZodType>(schema: S, value: unknown, subject: string) {
  const result = schema.safeParse(value, { reportInput: true });
  if (result.success) return result.data;
  const errors = result.error.issues.map((issue) => fieldProblemFrom(issue, subject));
  const text = errors.map(
    ({ field, expected, got }) => `${field} requires ${expected}, got ${got}`,
  );
  throw new HttpProblem(422, text.join("; "), errors);
}

function fieldProblemFrom(issue: Issue, subject: string): FieldProblem {
  const field = issue.path.length === 0 ? subject : issue.path.join(".");
  if (issue.code === "unrecognized_keys") {
    return { field, expected: "known fields only", got: issue.keys.join(", ").slice(0, mostShown) };
  }
  return { field, expected: expectedBy(issue), got: shown(issue.input) };
}

function expectedBy(issue: Issue): string {
  switch (issue.code) {
    case "invalid_type":
      return issue.expected === "int" ? "a whole number" : `a value of type ${issue.expected}`;
    case "too_small":
      return `at least ${issue.minimum}${unitOf(issue.origin)}`;
    case "too_big":
      return `at most ${issue.maximum}${unitOf(issue.origin)}`;
    case "invalid_value":
      return `one of ${issue.values.map(String).join(", ")}`;
    case "invalid_format":
      return `the form ${"pattern" in issue ? issue.pattern : issue.format}`;
    default:
      return issue.message;
  }
}

function unitOf(origin: string): string {
  if (origin === "string") return " characters";
  return origin === "array" ? " entries" : "";
}

function shown(input: unknown): string {
  if (input === undefined) return "nothing";
  const text = typeof input === "number" ? String(input) : jsonOf(input);
  return text.length <= mostShown
    ? text
    : `${text.slice(0, mostShown)}… (${text.length} characters)`;
}

/** What is nested deep enough overflows the stack on being written out. */
function jsonOf(input: unknown): string {
  try {
    return JSON.stringify(input) ?? typeof input;
  } catch {
    return Array.isArray(input) ? "a list" : `a value of type ${typeof input}`;
  }
}
