import { z } from "@hono/zod-openapi";
import { type Priors, usualPriors } from "#model/mill/trials/priors.ts";
import { idField, listOf } from "./fields.ts";
import { kindOf } from "./kind.ts";

const positive = z.number().positive();
export const normalPrior = z.object({ mean: z.number(), sd: positive });

/** PRIORS.json; what came later may be left out and is then the usual. */
export const priorsSchema = z
  .object({
    medianOverCut: positive,
    medianSd: positive,
    speed: normalPrior,
    flow: normalPrior,
    feed: normalPrior,
    noise: positive,
    width: normalPrior.default(usualPriors.width),
    widthSlopeSd: positive.default(usualPriors.widthSlopeSd),
    circuit: z
      .object({
        sharpness: z.number().gt(0).lt(1),
        fragmentExponent: positive,
        rateExponent: positive,
        load: positive,
      })
      .default(usualPriors.circuit),
  } satisfies Record<keyof Priors, z.ZodType>)
  .openapi("Priors");

/**
 * What is known of a mill with one material, or of a mill with any: the priors, the finest it grinds to, and the lots
 * whose re-firing does not speak for its next one.
 */
export const priorsFields = z.object({
  millId: idField,
  priors: priorsSchema,
  /** Numbers of lots; one that is no longer kept says nothing. */
  excludedLots: listOf(idField),
  /** The one material it holds for; absent where it holds for all that have none of their own. */
  materialId: idField.exactOptional(),
  /** Of this material in this mill; absent where that of the mill holds. */
  grindingLimitUm: positive.exactOptional(),
});

export const priors = kindOf(priorsFields, {
  list: "savedPriors",
  parent: "millId",
  title: () => "the starting assumptions (priors)",
});
