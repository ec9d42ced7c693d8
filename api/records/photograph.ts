import { z } from "@hono/zod-openapi";
import { idField, stageField } from "./fields.ts";
import { kindOf } from "./kind.ts";

export const photographTypes = ["image/png", "image/jpeg", "image/webp"] as const;
type PhotographType = (typeof photographTypes)[number];

/** A picture of a stage of a lot, as from a microscope. Its bytes are kept once, under their hash, outside the record. */
export const photographFields = z.object({
  lotId: idField,
  stage: stageField,
  name: z.string(),
  note: z.string(),
  type: z.enum(photographTypes),
  /** Of the bytes as received. */
  sha256: z.string(),
  sizeBytes: z.number().int().positive(),
  keptAt: z.string(),
});

export const photograph = kindOf(photographFields, {
  list: "photographs",
  parent: "lotId",
  part: (b) => b.stage,
  title: (b) => `photograph "${b.name}" (${b.stage})`,
});

const text = (bytes: Uint8Array, from: number, to: number) =>
  String.fromCharCode(...bytes.subarray(from, to));

/**
 * What kind of picture the bytes are, whatever their name says; null where they are none that is kept. Sources: the
 * signatures of PNG (ISO/IEC 15948), JPEG's start of image (ITU-T T.81) and WebP's RIFF header (RFC 9649).
 */
export function photographType(bytes: Uint8Array): PhotographType | null {
  if (text(bytes, 0, 8) === "\x89PNG\r\n\x1a\n") return "image/png";
  if (text(bytes, 0, 3) === "\xff\xd8\xff") return "image/jpeg";
  return text(bytes, 0, 4) === "RIFF" && text(bytes, 8, 12) === "WEBP" ? "image/webp" : null;
}
