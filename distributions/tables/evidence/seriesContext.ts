import type { ClassMeans } from "#distributions/moments.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { Quantity, SizeDistribution } from "#distributions/sizeDistribution.ts";
import type { Cell } from "#distributions/tables/layout/block.ts";
import type { Parsed } from "#distributions/tables/text/parsed.ts";
import type {
  EdgeOption,
  ReadingOptions,
  ScaleOption,
  ValuesOption,
} from "#distributions/tables/text/readingOptions.ts";
import type { Weighed } from "./evidence.ts";
import type { SizeColumn } from "./sizes.ts";

/** Something that is settled, by whom, and on what evidence. */
export interface Known<T> {
  readonly value: T;
  readonly source: "option" | "table" | "assumed";
  readonly evidence: string;
  /** Whether only a line of the notes says so, which may speak of something else. */
  readonly isNoted?: boolean;
}

/** What is known of a series before its values are read; null where the table and the options are silent. */
export interface SeriesContext {
  readonly file: string | null;
  readonly name: string;
  readonly sizes: SizeColumn;
  readonly sizeCells: readonly Cell[];
  readonly parsed: Parsed;
  readonly sizeHeading: string;
  /** µm in one unit of the sizes, for densities per unit of size; 1 for phi and mesh. */
  readonly umPerUnit: number;
  readonly isSieve: boolean;
  readonly edge: Known<EdgeOption> | null;
  readonly values: Known<ValuesOption> | null;
  readonly scale: Known<ScaleOption> | null;
  readonly quantity: Known<Quantity> | null;
  /** What was counted when it was measured, where a copy says that it was converted since. */
  readonly measuredAs: Quantity | null;
  readonly options: ReadingOptions;
  /** What words contradict each other about, with the sentence that says how; those stay open. */
  readonly contradictions: Readonly<Partial<Record<SeriesOption, string>>>;
  /** Kinds of values that words contradict each other about. */
  readonly claimedValues: readonly ValuesOption[];
  /** Kinds of values that a word names which may be part of a name. */
  readonly namedValues: readonly ValuesOption[];
  /** Gives one frozen list of edges to all the series that have the same. */
  readonly shared: (list: readonly number[]) => readonly number[];
  /** Means in the classes of a distribution, worked out once for all the series that have the same. */
  readonly meansOf: (m: SizeDistribution) => ClassMeans;
}

/** What an option says, else what the evidence comes to; null where that is open or contradicts itself. */
export function settled<T extends string>(option: T | undefined, verdict: Weighed<T>): Known<T> | null {
  if (option !== undefined) return { value: option, source: "option", evidence: "your answer" };
  if (verdict.value === null || verdict.against.length > 0) return null;
  return {
    value: verdict.value,
    source: "table",
    evidence: verdict.words,
    ...(verdict.from === "note" ? { isNoted: true } : {}),
  };
}

/** How two pieces of evidence contradict each other, in words; null where none does. */
export function contradiction<T extends string>(verdict: Weighed<T>): string | null {
  const [other] = verdict.against;
  if (verdict.value === null || other === undefined) return null;
  return `${capital(verdict.words)} says ${verdict.value}, but ${other.words} says ${other.says}`;
}

function capital(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}

/**
 * A note where an option says other than the table does: the option counts, but a slip must not pass unseen.
 * @returns null where they agree, or one of them is silent
 */
export function overruled<T extends string>(
  name: "quantity" | "values",
  option: T | undefined,
  { value: said, words: where }: Weighed<T>,
): Problem | null {
  if (option === undefined || said === null || said === option) return null;
  return problem(
    "note",
    `The table says ${name} ${said} (${where}), but ${option} is taken, as you said. Leave ${name} out if the table is right.`,
    { found: said, expected: option, effect: `${name}: ${option} instead of ${said}` },
  );
}

export type SeriesOption = "edge" | "values" | "scale" | "quantity";

/** A guess about one series, as it is shown. */
export interface SeriesGuess extends Known<string> {
  readonly option: SeriesOption;
}

/** What a step of the reading tells: its guesses, and remarks on them. */
export interface SeriesNotes {
  readonly how: readonly SeriesGuess[];
  readonly remarks: readonly Problem[];
}
