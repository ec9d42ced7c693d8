import { z } from "zod";
import { type EntryKind, kinds } from "#api/records/kinds.ts";

/** How the cell of a field reads. */
export interface CsvCell {
  readonly holds: "text" | "number" | "json";
  /** An empty cell is an absent field. */
  readonly isOptional: boolean;
  /** An empty cell is null. */
  readonly isNullable: boolean;
}

/** The columns of a kind's table, in the order of its fields. A curve's own stand in tables of their own. */
export function columnsOf(kind: EntryKind): { readonly name: string; readonly cell: CsvCell }[] {
  const { fields, curve } = kinds[kind];
  return Object.entries(fields.shape)
    .filter(([name, field]) => name !== curve && !(field instanceof z.ZodLiteral))
    .map(([name, field]) => ({ name, cell: cellOf(field) }));
}

/** The fields of a kind that can hold one value alone: no table need say it. */
export function constantsOf(kind: EntryKind): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(kinds[kind].fields.shape).flatMap(([name, field]) =>
      field instanceof z.ZodLiteral ? [[name, field.value]] : [],
    ),
  );
}

function cellOf(field: unknown): CsvCell {
  if (field instanceof z.ZodExactOptional || field instanceof z.ZodOptional)
    return { ...cellOf(field.unwrap()), isOptional: true };
  if (field instanceof z.ZodNullable) return { ...cellOf(field.unwrap()), isNullable: true };
  // A table of before the field came has no such column: the default holds.
  if (field instanceof z.ZodDefault) return { ...cellOf(field.unwrap()), isOptional: true };
  if (field instanceof z.ZodPipe) return cellOf(field.in);
  const isText = field instanceof z.ZodString || field instanceof z.ZodEnum;
  const holds = isText ? "text" : field instanceof z.ZodNumber ? "number" : "json";
  return { holds, isOptional: false, isNullable: false };
}
