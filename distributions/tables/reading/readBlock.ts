import { type MeasurementMetadata, withStated } from "#distributions/measurementMetadata.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { known, overruled, type SeriesContext } from "#distributions/tables/evidence/seriesContext.ts";
import { sizeColumnOf } from "#distributions/tables/evidence/sizes.ts";
import { statedIn, statedText } from "#distributions/tables/evidence/statedMetadata.ts";
import { statementIn } from "#distributions/tables/evidence/statement.ts";
import { umPer, unitOf } from "#distributions/tables/evidence/unitOfSizes.ts";
import { edgeOf, wordsOfTable } from "#distributions/tables/evidence/wordsOfTable.ts";
import type { Block } from "#distributions/tables/layout/block.ts";
import { withoutDerived } from "#distributions/tables/layout/leaveOut.ts";
import type { DecimalMark } from "#distributions/tables/text/numbers.ts";
import type { ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import { unitIn } from "#distributions/tables/text/words.ts";
import { type MeasurementOutcome, outcomeOf } from "#distributions/tables/values/outcomes.ts";
import type { OpenQuestion } from "#distributions/tables/values/questions.ts";
import { readSeries } from "#distributions/tables/values/readSeries.ts";
import type { Guess } from "./reading.ts";

export interface BlockReading {
  readonly measurements: readonly NamedMeasurement[];
  readonly problems: readonly Problem[];
  readonly questions: readonly OpenQuestion[];
  readonly how: readonly Guess[];
  /** One a measurement, in the order of the table. */
  readonly outcomes: readonly MeasurementOutcome[];
  /** How many measurements the block holds, read or not. */
  readonly total: number;
  /** How they were measured, as far as this table or one before it states it. */
  readonly stated: MeasurementMetadata;
}

interface BlockContext {
  readonly file: string | null;
  readonly mark: DecimalMark;
  readonly options: ReadingOptions;
  /** How often each name was used so far. */
  readonly names: Map<string, number>;
  /** What the table before this one stated of how it was measured. */
  readonly stated: MeasurementMetadata;
  /** Called now and then with the part of the series that are read. */
  readonly onProgress: Progress;
}

/** Told how much of the work is done, 0 … 1, so that whoever waits can see it. */
export type Progress = (share: number) => void;

const seriesAtOnce = 100;
/** Of more, what an answer would do is worked out for the first alone, where the question is asked. */
const mostWeighed = 50;

/** The measurements of one table. One that states nothing of how it was measured goes by the table before. */
export function readBlock(block: Block, context: BlockContext): BlockReading {
  const { file, mark, options, names } = context;
  // A table that Fineband wrote says all of it in one line.
  const own = block.notes.map(statementIn).find((s) => s !== null) ?? null;
  const found = statedIn(block.notes, own === null ? mark : ".");
  const stated = found ?? context.stated;
  const how: Guess[] = [
    {
      option: "layout",
      value: block.layout,
      source: options.layout === undefined ? "table" : "option",
      evidence: options.layout === undefined ? layoutWords[block.layout] : "your answer",
    },
  ];
  const unit = unitOf(block, options, mark);
  how.push({ option: "unit", ...unit });
  const problems: Problem[] = block.remarks.map((p) => ({ ...p, file }));
  const stop = (refused: readonly Problem[]): BlockReading => ({
    measurements: [],
    problems: refused,
    questions: [],
    how,
    outcomes: block.series.map((one) =>
      outcomeOf(one.heading || (file ?? "pasted table"), false, refused, []),
    ),
    total: block.series.length,
    stated,
  });
  if (problems.some((p) => p.severity === "refused"))
    return stop(problems.filter((p) => p.severity === "refused"));
  if (unit.source === "assumed") {
    problems.push(
      problem("note", "No unit is stated for the sizes: µm is taken. Say another unit if that is wrong.", {
        file,
        expected: "um, nm, mm, m or phi",
        effect: "nm would divide every size by 1,000",
      }),
    );
  }
  const sizes = sizeColumnOf(block.sizes, mark, unit.value);
  const { series, remarks, edge: shownEdge } = withoutDerived(block, mark, file);
  const named = series.map((one) => ({ series: one, name: nameOf(one.heading, file, names) }));
  if ("severity" in sizes)
    return stop([{ ...sizes, file, measurement: block.layout === "long" ? (named[0]?.name ?? null) : null }]);
  problems.push(...remarks, ...sizes.remarks.map((p) => ({ ...p, file })));
  const said = wordsOfTable(block, own);
  const edge = edgeOf(block, {
    options,
    isPhi: unit.value === "phi",
    lists: sizes.listsUm.length,
    shownEdge,
  });
  const measurements: NamedMeasurement[] = [];
  const questions: OpenQuestion[] = [];
  const outcomes: MeasurementOutcome[] = [];
  const seen = new Set<string>();
  for (const [i, { series: one, name }] of named.entries()) {
    if (i % seriesAtOnce === 0) context.onProgress(i / named.length);
    if (options.only !== undefined && !options.only.includes(name)) continue;
    const ofOne = said(one);
    const ofSeries: SeriesContext = {
      file,
      name,
      sizes,
      sizeCells: block.sizes[0] ?? [],
      mark,
      sizeHeading: block.sizeHeading,
      umPerUnit: umPer[unitIn(one.says) ?? unit.value],
      isSieve: block.isSieve === true,
      edge,
      values: known(options.values, ...ofOne.values),
      scale: known(options.scale, ...ofOne.scale),
      quantity: known(options.quantity, ...ofOne.quantity),
      measuredAs: own !== null && options.quantity === undefined ? own.measuredAs : null,
      options: own === null ? options : { inClass: own.inClass, ...options },
    };
    const read = readSeries(one, ofSeries);
    const told = [
      overruled("values", options.values, ...ofOne.values),
      overruled("quantity", options.quantity, ...ofOne.quantity),
    ].flatMap((note): Problem[] => (note === null ? [] : [{ ...note, file, measurement: name }]));
    told.push(...read.problems);
    problems.push(...told);
    outcomes.push(
      outcomeOf(name, read.measurement !== null, told, read.questions, named.length <= mostWeighed),
    );
    questions.push(...read.questions);
    if (read.measurement !== null) measurements.push({ ...read.measurement, ...withStated(stated) });
    for (const guess of read.how) {
      if (seen.has(guess.option)) continue;
      seen.add(guess.option);
      how.push(guess);
    }
  }
  problems.push(...mixed(measurements, file));
  if (own === null && measurements.length > 0 && statedText(stated) !== "")
    problems.push(taken(stated, file));
  return { measurements, problems, questions, how, outcomes, total: named.length, stated };
}

function taken(stated: MeasurementMetadata, file: string | null): Problem {
  return problem(
    "note",
    `Taken from the lines around the table, as how it was measured: ${statedText(stated)}. Mend it before it is kept, if that is wrong.`,
    { file, found: statedText(stated) },
  );
}

const layoutWords = {
  columns: "one column holds the sizes",
  rows: "the heading row holds the sizes",
  long: "each row holds a sample, a size and a value",
} as const;

/** Each series goes by its heading, else by the file's stem; a repeat gets a number. */
function nameOf(heading: string, file: string | null, names: Map<string, number>): string {
  const stem = file === null ? "pasted table" : file.replace(/^.*[\\/]/, "").replace(/\.[^.]+$/, "");
  const name = heading === "" ? stem : heading;
  const count = (names.get(name) ?? 0) + 1;
  names.set(name, count);
  return count === 1 ? name : `${name} (${count})`;
}

/** Shares that count different things stand side by side, each by its own name. */
function mixed(measurements: readonly NamedMeasurement[], file: string | null): Problem[] {
  const first = measurements[0]?.distribution.quantity;
  const other = measurements.find((m) => m.distribution.quantity !== first);
  if (first === undefined || other === undefined) return [];
  return [
    problem(
      "note",
      `"${measurements[0]?.name}" counts ${first}, "${other.name}" ${other.distribution.quantity}: each was kept in its own; do not take them for runs of one.`,
      { file },
    ),
  ];
}
