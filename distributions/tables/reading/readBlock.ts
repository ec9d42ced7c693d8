import { curveOf, sizeAt } from "#distributions/curve.ts";
import { type MeasurementMetadata, withStated } from "#distributions/measurementMetadata.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { edgeEvidence } from "#distributions/tables/evidence/edgeEvidence.ts";
import { verdictOf, type Weighed } from "#distributions/tables/evidence/evidence.ts";
import {
  contradiction,
  type Known,
  overruled,
  type SeriesContext,
  type SeriesOption,
  settled,
} from "#distributions/tables/evidence/seriesContext.ts";
import { type SizeColumn, sizeColumnOf } from "#distributions/tables/evidence/sizes.ts";
import { statedIn, statedText } from "#distributions/tables/evidence/statedMetadata.ts";
import { type Statement, statementIn } from "#distributions/tables/evidence/statement.ts";
import { type UnitWords, umPer, unitWordsOf } from "#distributions/tables/evidence/unitOfSizes.ts";
import { type SeriesVerdicts, verdictsOf } from "#distributions/tables/evidence/wordsOfTable.ts";
import type { Block, Series } from "#distributions/tables/layout/block.ts";
import { withoutDerived } from "#distributions/tables/layout/leaveOut.ts";
import { claimsOf } from "#distributions/tables/text/claims.ts";
import type { DecimalMark } from "#distributions/tables/text/numbers.ts";
import type {
  EdgeOption,
  ReadingOptions,
  UnitOption,
  ValuesOption,
} from "#distributions/tables/text/readingOptions.ts";
import { rolesIn } from "#distributions/tables/text/roles.ts";
import { unitIn } from "#distributions/tables/text/units.ts";
import { type MeasurementOutcome, outcomeOf } from "#distributions/tables/values/outcomes.ts";
import type { OpenQuestion } from "#distributions/tables/values/questions.ts";
import { readSeries } from "#distributions/tables/values/readSeries.ts";
import type { Guess } from "./guess.ts";
import { type NamedSeries, namesOf, type UsedNames } from "./seriesNames.ts";
import { rivalQuestion } from "./sizeQuestion.ts";
import { rowsOf, seriesList, sizeLists, type TableReading } from "./tableReading.ts";

export interface BlockReading {
  readonly measurements: readonly NamedMeasurement[];
  readonly problems: readonly Problem[];
  readonly questions: readonly OpenQuestion[];
  readonly how: readonly Guess[];
  /** One a measurement, in the order of the table. */
  readonly outcomes: readonly MeasurementOutcome[];
  /** What each list of the table was taken for. */
  readonly table: TableReading;
  /** How many measurements the block holds, read or not. */
  readonly total: number;
  /** How they were measured, as far as this table or one before it states it. */
  readonly stated: MeasurementMetadata;
  /** How often each name was used so far, this table included. */
  readonly names: UsedNames;
}

interface BlockContext {
  readonly file: string | null;
  readonly mark: DecimalMark;
  readonly options: ReadingOptions;
  /** How often each name was used before this table. */
  readonly names: UsedNames;
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
  const { file, mark, options } = context;
  // A table that Fineband wrote says all of it in one line.
  const own = block.notes.map(statementIn).find((s) => s !== null) ?? null;
  const stated = statedIn(block.notes, own === null ? mark : ".") ?? context.stated;
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
  const unitWords = unitWordsOf(block, mark);
  const unit = decidedUnit(options.unit, unitWords);
  if (unit === null) return stop([], [unitQuestion(block, unitWords, context)]);
  how.push({ option: "unit", ...unit });
  if (unit.source === "assumed") remarks.push({ ...noUnit, file });
  const sizes = sizeColumnOf(block.sizes, mark, unit.value);
  const derived = withoutDerived(block, mark, { file, roles: rolesIn(options.roles ?? "") ?? new Map() });
  const rival = options.roles === undefined ? rivalQuestion(block, derived.series, file) : null;
  if (rival !== null) return stop([], [rival]);
  const { named, names } = namesOf(derived.series, file, context.names);
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

/** What each list of a block was taken for, in the order of the table. */
function tableReading(
  block: Block,
  read: readonly Series[],
  left: ReadonlyMap<Series, string>,
  decided: readonly Guess[],
): TableReading {
  const edge = decided.find((guess) => guess.option === "edge")?.value ?? null;
  const isRead = new Set(read);
  const series = block.series.map((one) => {
    const what = left.get(one);
    return what === undefined && isRead.has(one)
      ? seriesList(one, one.heading === "" ? "a measurement" : `measurement "${one.heading}"`, "measurement")
      : seriesList(one, `left out: ${what ?? "no measurement"}`, "left out");
  });
  const lists = [...sizeLists(block.sizes, block.layout, block.sizeHeading, edge), ...series];
  const at = ({ place }: (typeof lists)[number]) => place.column ?? place.row ?? 0;
  return {
    layout: block.layout,
    ...rowsOf([...(block.sizes[0] ?? []), ...block.series.flatMap((one) => one.cells.slice(-1))]),
    lists: lists.toSorted((a, b) => at(a) - at(b)),
    decided,
  };
}

interface Prepared {
  readonly block: Block;
  readonly own: Statement | null;
  readonly sizes: SizeColumn;
  readonly unit: UnitOption;
  readonly shownEdge: Block["edge"] | null;
  readonly stated: MeasurementMetadata;
}

/** Each series of a table whose sizes are known. */
function readAll(
  named: readonly NamedSeries[],
  prepared: Prepared,
  { file, mark, options, onProgress }: BlockContext,
): Pick<BlockReading, "measurements" | "problems" | "questions" | "outcomes" | "how"> {
  const { block, own, sizes, unit, shownEdge, stated } = prepared;
  const edge = edgeKnown(block, { options, isPhi: unit === "phi", lists: sizes.listsUm.length, shownEdge });
  const measurements: NamedMeasurement[] = [];
  const problems: Problem[] = [];
  const questions: OpenQuestion[] = [];
  const outcomes: MeasurementOutcome[] = [];
  const how: Guess[] = [];
  const sizeClaims = claimsOf(block.sizeHeading);
  for (const [i, { series: one, name }] of named.entries()) {
    if (i % seriesAtOnce === 0) onProgress(i / named.length);
    if (options.only !== undefined && !options.only.includes(name)) continue;
    const said = verdictsOf({ series: one, block, mark, own, claims: claimsOf(one.says), sizeClaims });
    const context: SeriesContext = {
      file,
      name,
      sizes,
      sizeCells: block.sizes[0] ?? [],
      mark,
      sizeHeading: block.sizeHeading,
      umPerUnit: umPer[unitIn(one.says) ?? unit],
      isSieve: block.isSieve === true,
      edge: edge.known,
      values: settled(options.values, said.values),
      scale: settled(options.scale, said.scale),
      quantity: settled(options.quantity, said.quantity),
      measuredAs: own !== null && options.quantity === undefined ? own.measuredAs : null,
      options: own === null ? options : { inClass: own.inClass, ...options },
      contradictions: contradictionsOf(said, edge.contradiction),
      claimedValues: said.values.against.length === 0 ? [] : claimed(said.values),
    };
    const read = readSeries(one, context);
    const told = [
      overruled("values", options.values, said.values),
      overruled("quantity", options.quantity, said.quantity),
    ].flatMap((note): Problem[] => (note === null ? [] : [{ ...note, file, measurement: name }]));
    told.push(...read.problems);
    problems.push(...told);
    outcomes.push(
      outcomeOf(name, {
        isRead: read.measurement !== null,
        said: told,
        questions: read.questions,
        weighs: named.length <= mostWeighed,
      }),
    );
    questions.push(...read.questions);
    if (read.measurement !== null) measurements.push({ ...read.measurement, ...withStated(stated) });
    for (const guess of read.how) if (!how.some((h) => h.option === guess.option)) how.push(guess);
  }
  return { measurements, problems, questions, outcomes, how };
}

function claimed({ value, against }: Weighed<ValuesOption>): ValuesOption[] {
  return [...new Set([...(value === null ? [] : [value]), ...against.map((e) => e.says)])];
}

function contradictionsOf(said: SeriesVerdicts, edge: string | null): SeriesContext["contradictions"] {
  const all: Partial<Record<SeriesOption, string>> = {};
  const quantity = contradiction(said.quantity);
  const values = contradiction(said.values);
  if (quantity !== null) all.quantity = quantity;
  if (values !== null) all.values = values;
  if (edge !== null) all.edge = edge;
  return all;
}

/** Which edges the sizes are: the answer given, two lists of them, or what the evidence comes to; else it stays open. */
function edgeKnown(
  block: Block,
  about: {
    options: ReadingOptions;
    isPhi: boolean;
    lists: number;
    shownEdge: Block["edge"] | null;
  },
): { known: Known<EdgeOption> | null; contradiction: string | null } {
  const { options, isPhi, lists, shownEdge } = about;
  if (options.edge === undefined && lists === 2)
    return {
      known: { value: "both", source: "table", evidence: "two columns of sizes" },
      contradiction: null,
    };
  const verdict = verdictOf(edgeEvidence(block, isPhi, shownEdge));
  return {
    known: settled(options.edge, verdict),
    contradiction: options.edge === undefined ? contradiction(verdict) : null,
  };
}

const noUnit = problem(
  "note",
  "No unit is stated for the sizes: µm is taken. Say another unit if that is wrong.",
  {
    expected: "um, nm, mm, m or phi",
    effect: "nm would divide every size by 1,000",
  },
);

/** The unit by the answer given, or what the words come to; µm where nothing says; null where it must be asked. */
function decidedUnit(option: UnitOption | undefined, { evidence, odd }: UnitWords): Known<UnitOption> | null {
  const verdict = verdictOf(evidence);
  const known = settled(option, verdict);
  if (known !== null && (known.source === "option" || odd === null)) return known;
  if (verdict.against.length > 0 || odd !== null) return null;
  return { value: "um", source: "assumed", evidence: "no word says it" };
}

/** Two words for the unit, or one that is no unit that is known. */
function unitQuestion(block: Block, { evidence, odd }: UnitWords, context: BlockContext): OpenQuestion {
  const values = ["um", "nm", "mm", "m"] as const;
  const d50Um = (unit: UnitOption) => {
    const { quantity = "volume", edge } = context.options;
    const options = { ...context.options, unit, quantity, ...(edge === undefined ? {} : { edge }) };
    const [one] = readBlock(block, {
      ...context,
      options,
      names: new Map(),
      onProgress: () => {},
    }).measurements;
    return one === undefined ? null : sizeAt(curveOf(one.distribution), 0.5);
  };
  const why =
    odd === null
      ? (contradiction(verdictOf(evidence)) ?? "Nothing says the unit of the sizes")
      : `"${odd}" stands where the unit of the sizes does, and is none that is known`;
  const place = block.sizes[0]?.[0];
  return {
    at: {
      file: context.file,
      measurement: block.series[0]?.heading ?? "",
      row: null,
      column: block.layout === "rows" ? null : (place?.column ?? null),
    },
    option: "unit",
    values,
    found: odd ?? block.sizeHeading,
    choices: () => values.map((value) => ({ option: "unit", value, d50Um: d50Um(value) })),
    ask: () =>
      `${why}. Say the unit; where the sizes are in another one, or are radii or logarithms, turn them into diameters in µm and bring the table in again.`,
  };
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
