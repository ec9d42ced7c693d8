import { createHash } from "node:crypto";

/**
 * SHA-256 of some parts of a row, in hexadecimal. Parts are joined by a character that JSON and names never hold,
 * so that no two different rows give the same text.
 */
export function checksumOf(...parts: readonly (string | number | null)[]): string {
  return createHash("sha256")
    .update(parts.map((part) => part ?? "\u0001").join("\u0000"))
    .digest("hex");
}

export function sha256(content: string | Uint8Array): string {
  return createHash("sha256").update(content).digest("hex");
}
