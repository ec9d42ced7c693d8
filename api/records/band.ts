import { z } from "@hono/zod-openapi";
import { type Band, decisionRules, envelopeUses } from "#model/band/band.ts";
import { parseBand } from "#model/band/bandFile.ts";
import { listOf } from "./fields.ts";
import { kindRead } from "./kind.ts";

const limits = { low: z.number().nullable(), high: z.number().nullable() };
/** BAND.json. The model's own reader checks it, and says in words what is wrong. */
export const bandFields = z
  .object({
    version: z.literal(1),
    name: z.string(),
    stage: z.string(),
    densityGPerCm3: z.number().nullable(),
    rule: z.enum(decisionRules),
    rows: listOf(
      z.object({
        limit: z.string().openapi({ description: "d10Um, d50Um, any d<percent>Um, or a named limit" }),
        sizeUm: z.number().exactOptional(),
        ...limits,
        repeatabilitySd: z.number().exactOptional(),
        source: z.string().exactOptional(),
      }),
    ),
    envelope: z
      .object({
        sizesUm: listOf(z.number()),
        lowShares: listOf(z.number()),
        highShares: listOf(z.number()),
      })
      .nullable(),
    envelopeUse: z
      .enum(envelopeUses)
      .exactOptional()
      .openapi({ description: "Whether the envelope is judged, as without it, or only drawn" }),
    betM2PerG: z.object(limits).exactOptional(),
    source: z.string().exactOptional(),
    instrument: z.string().exactOptional(),
    referenceDrum: z.string().exactOptional(),
  } satisfies Record<keyof Band, z.ZodType>)
  .openapi("Band");

export const band = kindRead(bandFields, readBand, {
  list: "bands",
  title: (b) => `band "${b.name}"`,
});

export function readBand(value: unknown): Band {
  const { band: read, problems } = parseBand(value, null);
  if (read === null) throw new Error(problems.map((p) => p.message).join(" "));
  return read;
}
