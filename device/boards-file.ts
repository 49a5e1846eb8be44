// The file that says which boards there are and what is wired to them: JSON, written by a person.
import { readFileSync } from "node:fs";
import { z } from "zod";
import { AppError } from "../shared/errors.ts";
import { type Parsed, parsed, refused } from "../shared/parsed.ts";
import { isBoardName, isName } from "../shared/wire/topics.ts";

const nameText = z.string().refine(isName, "requires a name of up to 32 of a-z 0-9 -");
const addressText = z
  .string()
  .regex(/^0x[0-7][0-9a-f]$/i, 'requires an I2C address such as "0x70"')
  .transform(Number);
const hostText = z
  .string()
  .regex(/^[^\s:/]+:\d{1,5}$/, "requires host:port such as 192.168.1.30:3030")
  .transform((text) => {
    const at = text.lastIndexOf(":");
    return { host: text.slice(0, at), port: Number(text.slice(at + 1)) };
  });

const boardSchema = z
  .strictObject({
    name: z.string().refine(isBoardName, "requires a board's name of up to 32 of a-z 0-9 -"),
    /** A serial port, best by its lasting name under /dev/serial/by-id. */
    port: z.string().min(1).optional(),
    /** Or a board on the network that speaks Firmata over TCP. */
    host: hostText.optional(),
    mux: addressText.default(0x70),
    cells: z
      .array(z.strictObject({ cell: nameText, channel: z.number().int().min(0).max(7) }))
      .max(8),
    thermometer: z
      .strictObject({
        chip: z.enum(["mcp9808", "tmp102", "bme280"]),
        address: addressText.optional(),
      })
      .optional(),
    barometer: z
      .strictObject({ chip: z.literal("bme280"), address: addressText.optional() })
      .optional(),
    /** The analog input that sees the supply through a divider, and by how much that divides. */
    supply: z
      .strictObject({
        analog: z.number().int().min(0).max(5),
        dividedBy: z.number().min(1).max(50),
        fullScaleV: z.number().min(1).max(6).default(5),
      })
      .optional(),
    lampPin: z.number().int().min(2).max(69).optional(),
  })
  .refine(({ port, host }) => (port === undefined) !== (host === undefined), {
    error: "requires either port or host, one of them",
  })
  .refine(({ cells }) => isUnique(cells.map(({ channel }) => channel)), {
    error: "requires each channel once",
  });

const fileSchema = z.strictObject({
  boards: z
    .array(boardSchema)
    .min(1, "requires at least one board")
    .refine((boards) => isUnique(boards.map(({ name }) => name)), "requires each name once")
    .refine(
      (boards) => boards.every(({ cells }) => isUnique(cells.map(({ cell }) => cell))),
      "requires each cell's name once to a board",
    ),
});

export type BoardDescription = z.infer<typeof boardSchema>;

function isUnique(values: readonly unknown[]): boolean {
  return new Set(values).size === values.length;
}

/** All problems, a line each: where, what was expected. */
export function parseBoards(text: string): Parsed<BoardDescription[]> {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch (error) {
    return refused(`requires JSON, got ${error instanceof Error ? error.message : String(error)}`);
  }
  const file = fileSchema.safeParse(json);
  if (file.success) return parsed(file.data.boards);
  return refused(
    file.error.issues.map(({ path, message }) => `${path.join(".")} ${message}`.trim()).join("\n"),
  );
}

/** Throws AppError with all problems of the file. */
export function readBoards(path: string): BoardDescription[] {
  let text: string;
  try {
    text = readFileSync(path, "utf8");
  } catch (error) {
    const got = error instanceof Error ? error.message : String(error);
    throw new AppError("config", `the boards file ${path} requires a readable file, got ${got}`, {
      cause: error,
    });
  }
  const boards = parseBoards(text);
  if (!boards.ok) throw new AppError("config", `the boards file ${path}:\n${boards.problem}`);
  return boards.value;
}
