import { z } from "@hono/zod-openapi";
import type { BetPair } from "#model/surface/bet.ts";
import { kindOf, overHttp } from "./kind.ts";

/** A pair of areas; how it was measured is left out where it was not noted. */
export const pairFields = z
  .object({
    stage: z.string(),
    geometricM2PerG: z.number(),
    betM2PerG: z.number(),
    instrument: z.string().max(200).exactOptional(),
    optics: z.string().max(200).exactOptional(),
    dopantClass: z.string().max(200).exactOptional(),
    measuredOn: z.string().max(40).exactOptional(),
    densityGPerCm3: z.number().positive().max(30).exactOptional(),
    material: z.string().max(200).exactOptional(),
  } satisfies Record<keyof BetPair, z.ZodType>)
  .openapi("BetPair");

const kind = kindOf(pairFields, {
  list: "pairs",
  title: (b) => `pair of ${b.stage}, ${b.geometricM2PerG} and ${b.betM2PerG} m²/g`,
});

export const betPair = overHttp(kind, {
  path: "/api/pairs",
  body: pairFields.extend({
    stage: z.string().min(1).max(50),
    geometricM2PerG: z.number().positive(),
    betM2PerG: z.number().positive(),
  }),
  example: { stage: "re-fired", geometricM2PerG: 0.61, betM2PerG: 0.93, instrument: "laser A" },
  called: "Pair",
  listSummary: "All BET pairs",
  keepSummary: "Note a BET pair",
  made: "noted",
});
