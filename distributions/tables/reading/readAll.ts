import { itemAt } from "#distributions/lists.ts";
import { type MeasurementMetadata, withStated } from "#distributions/measurementMetadata.ts";
import { keptClassMeans } from "#distributions/moments.ts";
import type { Problem } from "#distributions/problem.ts";
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
import type { SizeColumn } from "#distributions/tables/evidence/sizes.ts";
import type { Statement } from "#distributions/tables/evidence/statement.ts";
import { umPer } from "#distributions/tables/evidence/unitOfSizes.ts";
import { type SeriesVerdicts, spokenTable, verdictsOf } from "#distributions/tables/evidence/wordsOfTable.ts";
import type { Block } from "#distributions/tables/layout/block.ts";
import { type Claims, claimsOf } from "#distributions/tables/text/claims.ts";
import type {
  EdgeOption,
  ReadingOptions,
  UnitOption,
  ValuesOption,
} from "#distributions/tables/text/readingOptions.ts";
import { unitIn } from "#distributions/tables/text/units.ts";
import { alike, type ReadAlike } from "#distributions/tables/values/alike.ts";
import { type MeasurementOutcome, outcomeOf } from "#distributions/tables/values/outcomes.ts";
import type { OpenQuestion } from "#distributions/tables/values/questions.ts";
import { readSeries, type SeriesReading } from "#distributions/tables/values/readSeries.ts";
import { sharedLists } from "#distributions/tables/values/sharedLists.ts";
import type { BlockContext } from "./blockContext.ts";
import type { Guess } from "./guess.ts";
import type { NamedSeries } from "./seriesNames.ts";

const seriesAtOnce = 100;
/** Of more, what an answer would do is worked out for the first alone, where the question is asked. */
const maxWeighed = 50;

/** What came of the series of a table. */
export interface AllSeries {
  readonly measurements: readonly NamedMeasurement[];
  readonly problems: readonly Problem[];
  readonly questions: readonly OpenQuestion[];
  readonly how: readonly Guess[];
  /** One a measurement, in the order of the table. */
  readonly outcomes: readonly MeasurementOutcome[];
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
export function readAll(
  named: readonly NamedSeries[],
  prepared: Prepared,
  { file, parsed, options, onProgress, isOnlyTable }: BlockContext,
): AllSeries {
  const { block, own, sizes, unit, shownEdge, stated } = prepared;
  const edge = edgeKnown(block, { options, isPhi: unit === "phi", lists: sizes.listsUm.length, shownEdge });
  const measurements: NamedMeasurement[] = [];
  const problems: Problem[] = [];
  const questions: OpenQuestion[] = [];
  const outcomes: MeasurementOutcome[] = [];
  const how: Guess[] = [];
  const claims = named.map(({ series: one }) => claimsOf(one.says));
  const table = spokenTable(block, claims, isOnlyTable);
  const shared = sharedLists();
  const meansOf = keptClassMeans();
  /** How series without a word of their own are read, once one was. */
  let plainly: ReadAlike | null = null;
  for (const [i, { series: one, name }] of named.entries()) {
    if (i % seriesAtOnce === 0) onProgress(i / named.length);
    if (options.only !== undefined && !options.only.includes(name)) continue;
    const isWordless = one.numbers !== undefined && isSilent(itemAt(claims, i));
    let read = isWordless ? (plainly?.(one.numbers, name) ?? null) : null;
    if (read === null) {
      const said = verdictsOf({ series: one, parsed, own, claims: itemAt(claims, i), table });
      const context: SeriesContext = {
        file,
        name,
        sizes,
        sizeCells: block.sizes[0] ?? [],
        parsed,
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
        namedValues: said.values.names.map((e) => e.says),
        shared,
        meansOf,
      };
      read = withOverruled(readSeries(one, context), said, context);
      if (isWordless) plainly ??= alike(one.numbers, read, context);
    }
    problems.push(...read.problems);
    outcomes.push(
      outcomeOf(name, {
        isRead: read.measurement !== null,
        said: read.problems,
        questions: read.questions,
        weighs: named.length <= maxWeighed,
      }),
    );
    questions.push(...read.questions);
    if (read.measurement !== null) measurements.push({ ...read.measurement, ...withStated(stated) });
    for (const guess of read.how) if (!how.some((h) => h.option === guess.option)) how.push(guess);
  }
  return { measurements, problems, questions, outcomes, how };
}

/** Whether the words of a series say nothing of its values. */
function isSilent({ quantity, values, scale }: Claims): boolean {
  return quantity.length === 0 && values.length === 0 && scale.length === 0;
}

/** What was read, with a note where an answer goes before what the table says. */
function withOverruled(
  read: SeriesReading,
  said: SeriesVerdicts,
  { options, file, name }: SeriesContext,
): SeriesReading {
  const notes = [
    overruled("values", options.values, said.values),
    overruled("quantity", options.quantity, said.quantity),
  ].flatMap((note): Problem[] => (note === null ? [] : [{ ...note, file, measurement: name }]));
  return { ...read, problems: [...notes, ...read.problems] };
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
