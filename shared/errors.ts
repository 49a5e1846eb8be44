// The one error class for "the world failed": a code to act on, a sentence for people, the cause kept.

export type ErrorCode =
  | "config"
  | "conflict"
  | "not-found"
  | "unauthorised"
  | "storage"
  | "storage-full"
  | "storage-read-only"
  | "storage-damaged"
  | "store-in-use"
  | "database-newer"
  | "native-module"
  | "port-in-use"
  | "network"
  | "clock-unset";

export class AppError extends Error {
  readonly code: ErrorCode;

  constructor(code: ErrorCode, message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = "AppError";
    this.code = code;
  }
}
