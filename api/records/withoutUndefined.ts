type Defined<T> = { [K in keyof T]?: Exclude<T[K], undefined> };

/** Leaves out what was not given, so that an absent option is absent and not undefined. */
export function withoutUndefined<T extends object>(record: T): Defined<T> {
  const kept: Defined<T> = {};
  for (const key in record) {
    const value = record[key];
    if (isDefined(value)) kept[key] = value;
  }
  return kept;
}

/** An optional field after a change: left out it stays as it was, null takes it away. */
export function patched<V>(was: V | undefined, entered: V | null | undefined): V | undefined {
  return entered === undefined ? was : (entered ?? undefined);
}

function isDefined<V>(value: V): value is Exclude<V, undefined> {
  return value !== undefined;
}
