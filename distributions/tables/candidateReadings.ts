import { curveOf, sizeAt } from "#distributions/curve.ts";
import type { Choice, Problem } from "#distributions/problem.ts";
import type { Quantity } from "#distributions/sizeDistribution.ts";
import { nearestReadings } from "#distributions/tables/nearestReadings.ts";
import type { Reading } from "#distributions/tables/reading/reading.ts";
import { type GivenTable, lengthOf, readGiven } from "#distributions/tables/readTable.ts";
import { type ReadingOptions, withAnswer } from "#distributions/tables/text/readingOptions.ts";
import { figuresText } from "./text/figuresText.ts";

/** One way in which a whole table can be read, with what speaks for it and against it. */
export interface CandidateReading {
  /** What must be said for it; nothing where the table is read as it stands. */
  readonly answers: readonly Answer[];
  readonly measurements: readonly CandidateMeasurement[];
  /** The evidence of each thing that numbers, words or notes decided, in words. */
  readonly speaksFor: readonly string[];
  /** What only an answer or an assumption decided, what contradicts it, and what it lacks, in words. */
  readonly speaksAgainst: readonly string[];
}

interface Answer {
  readonly option: string;
  readonly value: string;
}

interface CandidateMeasurement {
  readonly name: string;
  readonly quantity: Quantity;
  /** µm; null where it lies outside the table. */
  readonly d10Um: number | null;
  readonly d50Um: number | null;
  readonly d90Um: number | null;
}

const maxCandidates = 12;
const maxMeasurements = 6;
/** Longer tables are read once only. */
const longest = 200_000;
/** An answer may raise a further question, which is answered in each way as well. */
const maxRounds = 3;

/**
 * The readings of a whole table that stand beside each other: the one it has where nothing is open, one for each way of
 * answering what is asked, or the nearest ones where it is refused. Longer texts have the reading at hand alone.
 *
 * @param reading  what `readGiven` makes of the table
 * @param table    as it was read
 */
export function candidateReadings(
  reading: Reading,
  table: GivenTable,
  options: ReadingOptions,
): readonly CandidateReading[] {
  if (lengthOf(table) > longest) return [candidateOf([], reading, [])];
  const asked = questionsIn(reading);
  if (asked.length === 0) {
    const nearest = nearestReadings(reading, table, options);
    if (nearest.length === 0) return [candidateOf([], reading, [])];
    return nearest.flatMap(({ option, value }) => {
      const more = withAnswer(options, option, value);
      const refused = reading.problems.filter((p) => p.severity === "refused");
      return more === null
        ? []
        : [candidateOf([{ option, value }], readGiven(table, reading.file, more), refused)];
    });
  }
  return answeredReadings(reading, { table, options, answers: [], asked }, maxRounds);
}

interface Asked {
  readonly table: GivenTable;
  readonly options: ReadingOptions;
  readonly answers: readonly Answer[];
  readonly asked: readonly Problem[];
}

/** Each answer to the first question, and to what is open then. */
function answeredReadings(
  reading: Reading,
  { table, options, answers, asked }: Asked,
  rounds: number,
): readonly CandidateReading[] {
  const [first] = asked;
  const found: CandidateReading[] = [];
  for (const { option, value } of choicesOf(first)) {
    const more = withAnswer(options, option, value);
    if (more === null || found.length >= maxCandidates) continue;
    const next = readGiven(table, reading.file, more);
    const open = questionsIn(next);
    const said = [...answers, { option, value }];
    const isSame = open.some((p) => choicesOf(p).some((c) => c.option === option));
    found.push(
      ...(open.length === 0 || rounds === 0 || isSame
        ? [candidateOf(said, next, [])]
        : answeredReadings(next, { table, options: more, answers: said, asked: open }, rounds - 1)),
    );
  }
  return found.slice(0, maxCandidates);
}

function questionsIn({ problems }: Reading): readonly Problem[] {
  return problems.filter((p) => p.severity === "question" && choicesOf(p).length > 0);
}

function choicesOf(asked: Problem | undefined): readonly Choice[] {
  return asked?.choices ?? [];
}

/** @param before  what stood against the table before it was answered so */
function candidateOf(
  answers: readonly Answer[],
  { measurements, tables, problems }: Reading,
  before: readonly Problem[],
): CandidateReading {
  const decided = tables.flatMap((one) => one.decided);
  const inWords = ({ option, value, evidence }: (typeof decided)[number]) =>
    `${option} ${value}: ${evidence}`;
  const contradicted = problems.filter((p) => p.severity !== "note" || /^The table says /.test(p.message));
  return {
    answers,
    measurements: measurements.slice(0, maxMeasurements).map(({ name, distribution }) => {
      const curve = curveOf(distribution);
      const { quantity } = distribution;
      const [d10Um, d50Um, d90Um] = [sizeAt(curve, 0.1), sizeAt(curve, 0.5), sizeAt(curve, 0.9)];
      return { name, quantity, d10Um, d50Um, d90Um };
    }),
    speaksFor: onceEach(decided.filter(({ source }) => source === "table").map(inWords)),
    speaksAgainst: onceEach([
      ...before.map((p) => p.message),
      ...contradicted.map((p) => p.message),
      ...decided.filter(({ source }) => source === "assumed").map((guess) => `assumed, ${inWords(guess)}`),
    ]),
  };
}

function onceEach(lines: readonly string[]): string[] {
  return [...new Set(lines)];
}

/** Candidate readings as lines of text; none where there is but one, which the table's own picture shows. */
export function candidatesInWords(
  candidates: readonly CandidateReading[],
  flagOf: (answer: Answer) => string,
): string[] {
  if (candidates.length === 1 && candidates[0]?.answers.length === 0) return [];
  return candidates.flatMap(({ answers, measurements, speaksFor, speaksAgainst }, i) => {
    const [first] = measurements;
    const count = `${measurements.length} ${measurements.length === 1 ? "measurement" : "measurements"}`;
    const sizes =
      first === undefined
        ? ""
        : `, by ${first.quantity}, D10 ${um(first.d10Um)}, D50 ${um(first.d50Um)}, D90 ${um(first.d90Um)} µm`;
    return [
      `Reading ${i + 1}, with ${answers.map(flagOf).join(" ")}: ${count}${sizes}`,
      ...speaksFor.map((line) => `  for it: ${line}`),
      ...speaksAgainst.map((line) => `  against it: ${line}`),
    ];
  });
}

function um(size: number | null): string {
  return size === null ? "not known" : figuresText(size);
}
