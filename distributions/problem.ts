/** note: read, with a remark. question: needs an answer before it can be used. refused: cannot be used. */
export type Severity = "note" | "question" | "refused";

/** One answer a question can have, with what it would do to the median. */
export interface Choice {
  /** The reading option to set, as on the command line without its dashes: "edge", "quantity", … */
  readonly option: string;
  readonly value: string;
  /** The median under this choice, in the quantity it was measured in, by volume where that quantity is asked for; null where it cannot be told. */
  readonly d50Um: number | null;
}

/** What was odd about data from outside: where, what was found, what was expected, what it changes, what to do. */
export interface Problem {
  readonly file: string | null;
  readonly measurement: string | null;
  /** Of a workbook with several: the sheet in which rows and columns are counted. */
  readonly sheet?: string;
  /** Counted from 1 in the file, or the sheet, as received; null where no single row is to blame. */
  readonly row: number | null;
  /** Counted from 1 in the file as received; null where no single column is to blame. */
  readonly column: number | null;
  readonly severity: Severity;
  readonly found: string | null;
  readonly expected: string | null;
  /** What it would change, in numbers. */
  readonly effect: string | null;
  /** A whole sentence with its remedy. */
  readonly message: string;
  /** For a question: the answers it can have. For a refusal: single answers under which the table would be read. */
  readonly choices?: readonly Choice[];
}

/** A problem with everything unknown that the caller does not state. */
export function problem(
  severity: Severity,
  message: string,
  details: Partial<Omit<Problem, "severity" | "message">> = {},
): Problem {
  return {
    file: null,
    measurement: null,
    row: null,
    column: null,
    found: null,
    expected: null,
    effect: null,
    ...details,
    severity,
    message,
  };
}
