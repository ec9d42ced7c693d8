import { z } from "@hono/zod-openapi";
import { optionWords } from "#distributions/tables/text/readingOptions.ts";
import { rolesIn } from "#distributions/tables/text/roles.ts";
import { answeredWords } from "./answeredWords.ts";

const wordFields = Object.fromEntries(
  Object.entries(optionWords).map(([option, words]): [string, z.ZodType] => [
    option,
    z.enum<readonly string[]>(words).exactOptional(),
  ]),
);
const otherFields = z.object({
  firstEdgeUm: z.number().exactOptional(),
  only: z.array(z.string()).exactOptional(),
  roles: z
    .string()
    .refine((text) => rolesIn(text) !== null)
    .exactOptional(),
});

/** Every answer that a reader of tables may be given, as it is kept beside the table. The list of them is the reader's own. */
export const readingOptionsField = z
  .object({ ...wordFields, ...otherFields.shape })
  .transform((entered) => ({
    ...answeredWords((option) => Reflect.get(entered, option)),
    ...otherFields.parse(entered),
  }))
  .openapi("ReadingOptions");
