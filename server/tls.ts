// Reads the certificate that page and broker show, once, at start.
import { X509Certificate } from "node:crypto";
import { readFileSync } from "node:fs";
import { createSecureContext } from "node:tls";
import { AppError } from "../shared/errors.ts";
import type { Config } from "./config.ts";

export type Tls = {
  cert: Buffer;
  key: Buffer;
  /** When the certificate ends. */
  untilMs: number;
};

/** Undefined without one. Throws AppError "config" when a file can't be read or the two don't fit. */
export function readTls({ tlsCertFile, tlsKeyFile }: Config): Tls | undefined {
  if (tlsCertFile === undefined || tlsKeyFile === undefined) return undefined;
  const cert = readPart("BRIMFUL_TLS_CERT", tlsCertFile);
  const key = readPart("BRIMFUL_TLS_KEY", tlsKeyFile);
  try {
    createSecureContext({ cert, key });
    return { cert, key, untilMs: Date.parse(new X509Certificate(cert).validTo) };
  } catch (cause) {
    const text = `BRIMFUL_TLS_CERT and BRIMFUL_TLS_KEY require a certificate in PEM and its own key, got ${tlsCertFile} and ${tlsKeyFile}, which are none`;
    throw new AppError("config", text, { cause });
  }
}

function readPart(setting: string, file: string): Buffer {
  try {
    return readFileSync(file);
  } catch (cause) {
    const { code } = cause as { code?: string };
    throw new AppError(
      "config",
      `${setting} requires a file that can be read, got ${file} (${code})`,
      {
        cause,
      },
    );
  }
}
