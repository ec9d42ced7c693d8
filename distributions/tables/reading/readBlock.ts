import { curveOf, sizeAt } from "#distributions/curve.ts";
import { itemAt, zip } from "#distributions/lists.ts";
import type { MeasurementMetadata } from "#distributions/measurementMetadata.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type SizeColumn, sizeColumnOf } from "#distributions/tables/evidence/sizes.ts";
import { statedIn, statedText } from "#distributions/tables/evidence/statedMetadata.ts";
import { statementIn } from "#distributions/tables/evidence/statement.ts";
import { unitWordsOf } from "#distributions/tables/evidence/unitOfSizes.ts";
import type { Block } from "#distributions/tables/layout/block.ts";
import { withoutDerived } from "#distributions/tables/layout/leaveOut.ts";
import type { ReadingOptions, UnitOption } from "#distributions/tables/text/readingOptions.ts";
import { rolesIn } from "#distributions/tables/text/roles.ts";
import { outcomeOf } from "#distributions/tables/values/outcomes.ts";
import type { OpenQuestion } from "#distributions/tables/values/questions.ts";
import type { BlockContext } from "./blockContext.ts";
import type { Guess } from "./guess.ts";
import { type AllSeries, readAll } from "./readAll.ts";
import { namesOf, type UsedNames } from "./seriesNames.ts";
import { rivalQuestion } from "./sizeQuestion.ts";
import { type TableReading, tableReading } from "./tableReading.ts";
import { decidedUnit, noUnit, unitQuestion } from "./unitDecision.ts";

export interface BlockReading extends AllSeries {
  /** What each list of the table was taken for. */
  readonly table: TableReading;
  /** How many measurements the block holds, read or not. */
  readonly total: number;
  /** How they were measured, as far as this table or one before it states it. */
  readonly stated: MeasurementMetadata;
  /** How often each name was used so far, this table included. */
  readonly names: UsedNames;
}

/** The measurements of one table. One that states nothing of how it was measured goes by the table before. */
export function readBlock(block: Block, context: BlockContext): BlockReading {
  const { file, parsed, options } = context;
  // A table that Fineband wrote says all of it in one line.
  const own = block.notes.map(statementIn).find((s) => s !== null) ?? null;
  const stated = statedIn(block.notes, own === null ? parsed.mark : ".") ?? context.stated;
  const how: Guess[] = [layoutGuess(block, options)];
  const stop = (refused: readonly Problem[], questions: readonly OpenQuestion[] = []): BlockReading => ({
    measurements: [],
    problems: refused,
    questions,
    how,
    outcomes: block.series.map((one) =>
      outcomeOf(one.heading || (file ?? "pasted table"), { isRead: false, said: refused, questions }),
    ),
    table: tableReading(block, block.series, new Map(), how),
    total: block.series.length,
    stated,
    names: context.names,
  });
  const remarks: Problem[] = block.remarks.map((p) => ({ ...p, file }));
  if (remarks.some((p) => p.severity === "refused"))
    return stop(remarks.filter((p) => p.severity === "refused"));
  const unitWords = unitWordsOf(block, parsed);
  const unit = decidedUnit(options.unit, unitWords);
  if (unit === null)
    return stop([], [unitQuestion(block, unitWords, file, (asked) => medianIn(asked, block, context))]);
  how.push({ option: "unit", value: unit.value, source: unit.source, evidence: unit.evidence });
  if (unit.source === "assumed") remarks.push({ ...noUnit, file });
  const sizes = sizeColumnOf(block.sizes, parsed, unit.value);
  const derived = withoutDerived(block, parsed, {
    file,
    roles: rolesIn(options.roles ?? "") ?? new Map(),
    sizesUm: "severity" in sizes ? [] : inRows(sizes, block),
  });
  const rival = options.roles === undefined ? rivalQuestion(block, derived.series, file) : null;
  if (rival !== null) return stop([], [rival]);
  const { named, names } = namesOf(derived.series, { file, title: block.title }, context.names);
  if ("severity" in sizes) {
    const measurement = block.layout === "long" ? (named[0]?.name ?? null) : null;
    return { ...stop([{ ...sizes, file, measurement }]), names };
  }
  remarks.push(...derived.remarks, ...sizes.remarks.map((p) => ({ ...p, file })));
  const series = readAll(
    named,
    { block, own, sizes, unit: unit.value, shownEdge: derived.edge, stated },
    context,
  );
  const problems = [...remarks, ...series.problems, ...mixed(series.measurements, file)];
  if (own === null && series.measurements.length > 0 && statedText(stated) !== "")
    problems.push(taken(stated, file));
  const decided = [...how, ...series.how];
  const table = tableReading(block, derived.series, derived.left, decided);
  return { ...series, problems, how: decided, table, total: named.length, stated, names };
}

/** Sizes back in the order of their rows; NaN where a row holds none that counts. */
function inRows({ listsUm, order }: SizeColumn, block: Block): number[][] {
  const rows = itemAt(block.sizes, 0).length;
  return listsUm.map((list) => {
    const sizes = Array.from({ length: rows }, () => Number.NaN);
    for (const [row, um] of zip(order, list)) sizes[row] = um;
    return sizes;
  });
}

/** The median of the first series if the sizes were in a unit. */
function medianIn(unit: UnitOption, block: Block, context: BlockContext): number | null {
  const options = { quantity: "volume" as const, ...context.options, unit };
  const [one] = readBlock(block, {
    ...context,
    options,
    names: new Map(),
    onProgress: () => {},
  }).measurements;
  return one === undefined ? null : sizeAt(curveOf(one.distribution), 0.5);
}

function layoutGuess(block: Block, options: ReadingOptions): Guess {
  const isAsked = options.layout !== undefined;
  return {
    option: "layout",
    value: block.layout,
    source: isAsked ? "option" : "table",
    evidence: isAsked ? "your answer" : layoutWords[block.layout],
  };
}

function taken(stated: MeasurementMetadata, file: string | null): Problem {
  return problem(
    "note",
    `Taken from the lines around the table, as how it was measured: ${statedText(stated)}. Correct it before saving, if that is wrong.`,
    { file, found: statedText(stated) },
  );
}

const layoutWords = {
  columns: "one column holds the sizes",
  rows: "the heading row holds the sizes",
  long: "each row holds a sample, a size and a value",
} as const;

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
