import { z } from "@hono/zod-openapi";
import { idField, textOrNothing } from "./fields.ts";
import { kindRead } from "./kind.ts";
import { readingOptionsField } from "./readingOptions.ts";

/** A table that was imported: as received, and all that was answered to read it. */
const fields = z.object({
  lotId: idField,
  file: textOrNothing,
  text: z.string(),
  /** Of the bytes as received. */
  sha256: z.string(),
  /** The bytes as received, where they are not the text in UTF-8: a workbook, another encoding, a byte-order mark. */
  base64: z.string().exactOptional(),
  options: readingOptionsField,
  keptAt: z.string(),
});

/** In JSON the options have always stood last. */
function read(value: unknown): z.output<typeof fields> {
  const { options, ...rest } = fields.parse(value);
  return { ...rest, options };
}

export const importedTable = kindRead(fields, read, {
  list: "tables",
  parent: "lotId",
  // The same file brought in again is found by it.
  part: (b) => b.sha256,
  title: (b) => `table ${b.file ?? "as pasted"}`,
});
