/** A field in which two versions of an entry differ, each as text. */
export interface Difference {
  readonly field: string;
  readonly a: string;
  readonly b: string;
}

const longest = 120;

/** The fields of `a` in which `b` differs. A field inside another is named by both. */
export function differences(a: unknown, b: unknown, within = ""): Difference[] {
  if (JSON.stringify(a) === JSON.stringify(b)) return [];
  const [fieldsOfA, fieldsOfB] = [fieldsOf(a), fieldsOf(b)];
  if (fieldsOfA === null || fieldsOfB === null) return [{ field: within, a: textOf(a), b: textOf(b) }];
  return Object.keys(fieldsOfA).flatMap((name) =>
    differences(fieldsOfA[name], fieldsOfB[name], within === "" ? name : `${within} ${name}`),
  );
}

/** Every field of an entry, as text. */
export function allFields(value: unknown): readonly { readonly field: string; readonly text: string }[] {
  return Object.entries(fieldsOf(value) ?? {}).map(([field, inside]) => ({ field, text: textOf(inside) }));
}

function fieldsOf(value: unknown): Record<string, unknown> | null {
  return typeof value === "object" && value !== null && !Array.isArray(value) ? { ...value } : null;
}

function textOf(value: unknown): string {
  if (value === null || value === undefined || value === "") return "nothing";
  const text = typeof value === "string" ? value : JSON.stringify(value);
  return text.length > longest ? `${text.slice(0, longest)} …` : text;
}
