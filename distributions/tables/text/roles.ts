/** What a person says that a column or row of a table is. */
export const roles = ["sizes", "measurement", "left-out"] as const;
export type Role = (typeof roles)[number];

/** Places with what each is said to be, by "c3" for the third column and "r5" for the fifth row, counted as received. */
export type Roles = ReadonlyMap<string, Role>;

interface Place {
  readonly row: number | null;
  readonly column: number | null;
}

/** A column's place goes by the column, also where a table in long form has rows beside it. */
export function placeKey({ row, column }: Place): string {
  return column === null ? `r${String(row)}` : `c${column}`;
}

/** "c2=sizes,c5=left-out" as it is kept and sent; null where it is written in another way. */
export function rolesIn(text: string): Roles | null {
  const found = new Map<string, Role>();
  for (const part of text.split(",")) {
    const [place = "", word = ""] = part.trim().split("=");
    const role = roles.find((r) => r === word);
    if (!/^[cr][1-9]\d{0,5}$/.test(place) || role === undefined) return null;
    found.set(place, role);
  }
  return found;
}

/** The same in words. */
export function rolesText(given: Roles): string {
  return [...given].map(([place, role]) => `${place}=${role}`).join(",");
}

/** The roles with some more; an earlier one of the same place goes. */
export function withRoles(earlier: string | undefined, more: Roles): string {
  const before = earlier === undefined ? [] : (rolesIn(earlier) ?? []);
  return rolesText(new Map([...before, ...more]));
}
