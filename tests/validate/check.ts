/**
 * printed: stands in a document. computed: worked out for this project by other means than its code.
 * identity: a law that holds for any input. common practice: what the trade at large takes for granted.
 */
export type CheckKind = "printed" | "computed" | "identity" | "common practice";

/** Whether the document itself was seen, a page that repeats it, or neither. */
export type SourceReading = "read" | "second-hand" | "from memory";

export interface Source {
  /** As it stands in a table's cell. */
  readonly short: string;
  /** As it stands in the list of sources. */
  readonly full: string;
  readonly reading: SourceReading;
}

/** How near ours must come to the published value. */
export type Tolerance =
  | { readonly by: "printed digits" }
  | { readonly by: "leading digits"; readonly atLeast: number }
  | { readonly by: "ratio"; readonly atMost: number }
  | { readonly by: "difference"; readonly atMost: number }
  /** The published value is a limit that ours must not pass. */
  | { readonly by: "upper limit" };

export const printedDigits: Tolerance = { by: "printed digits" };

/** One published number and the function of ours that gives it. */
export interface Check {
  readonly quantity: string;
  /** With the digits it was printed with. */
  readonly published: string;
  readonly ours: () => number | null;
  /** Printed digits where nothing else is said. */
  readonly tolerance?: Tolerance;
  /** Why ours lies outside the tolerance. It must then lie outside: an excuse that is no longer needed fails. */
  readonly differs?: string;
}

/** Checks that share a source. */
export interface CheckGroup {
  readonly topic: string;
  readonly source: Source;
  readonly kind: CheckKind;
  /** File of the published data that is read where it lies; left out where the numbers are typed beside their source. */
  readonly needs?: string;
  /** @param path  of the file it needs, or "" */
  readonly checks: (path: string) => readonly Check[];
}

/** One row of a whole published data set. */
export interface Row {
  readonly name: string;
  readonly published: number;
  readonly ours: number;
}

/** One quantity, over every row of a set. */
export interface Measure {
  readonly quantity: string;
  readonly tolerance: Tolerance;
  readonly rows: readonly Row[];
  /** Why some rows lie outside the tolerance. */
  readonly differs?: string;
}

/** A whole published data set: every row is recomputed, the worst is shown. */
export interface WholeSet {
  readonly source: Source;
  readonly kind: CheckKind;
  readonly needs: string;
  /** The convention that the source's own numbers follow. */
  readonly convention: string;
  readonly measures: (path: string) => readonly Measure[];
}

/** A group of printed numbers typed beside their source, the same tolerance for all. */
export function table<Given extends readonly unknown[]>(
  rows: readonly (readonly [quantity: string, published: string, ...given: Given])[],
  ours: (...given: Given) => number | null,
  tolerance: Tolerance = printedDigits,
  differs: Readonly<Record<string, string>> = {},
): Check[] {
  return rows.map(([quantity, published, ...given]) => {
    const why = differs[quantity];
    return {
      quantity,
      published,
      ours: () => ours(...given),
      tolerance,
      ...(why === undefined ? {} : { differs: why }),
    };
  });
}
