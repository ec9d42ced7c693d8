import { curveOf, sizeAt } from "#distributions/curve.ts";
import { maxOf } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { isDensity } from "#distributions/tables/evidence/density.ts";
import type {
  Known,
  SeriesContext,
  SeriesGuess,
  SeriesNotes,
  SeriesOption,
} from "#distributions/tables/evidence/seriesContext.ts";
import { type ValuesKind, valuesKind } from "#distributions/tables/evidence/valuesKind.ts";
import type { Series } from "#distributions/tables/layout/block.ts";
import { oneClass } from "#distributions/tables/saying/refusals.ts";
import { withAnswer } from "#distributions/tables/text/readingOptions.ts";
import { wholeOf } from "#distributions/tables/text/wholeOfScale.ts";
import { builtFrom } from "./builtSeries.ts";
import { type OpenQuestion, questionsOf, type TablePlace } from "./questions.ts";
import { valuesOf } from "./seriesValues.ts";

export interface SeriesReading {
  readonly measurement: NamedMeasurement | null;
  readonly problems: readonly Problem[];
  readonly questions: readonly OpenQuestion[];
  readonly how: readonly SeriesGuess[];
}

/** One measurement from its values, all or nothing. */
export function readSeries(series: Series, given: SeriesContext): SeriesReading {
  const context = withoutOddScale(series, given);
  const at: TablePlace = {
    file: context.file,
    measurement: context.name,
    row: series.at.row,
    column: series.at.column,
  };
  const { edge, quantity } = context;
  const known: SeriesGuess[] = [
    ...(edge === null ? [] : [guessOf("edge", edge)]),
    ...(quantity === null ? [] : [guessOf("quantity", quantity)]),
  ];
  const placed = (problems: readonly Problem[]) =>
    problems.map((p) => ({ ...p, file: at.file, measurement: at.measurement }));
  /** What stands instead of a measurement: a question where the problem offers answers, else a refusal. */
  const stop = (found: Problem, { how, remarks }: SeriesNotes): SeriesReading =>
    found.choices === undefined
      ? {
          measurement: null,
          problems: placed([...remarks.filter((p) => p.severity !== "note"), found]),
          questions: [],
          how,
        }
      : { measurement: null, problems: [], questions: [problemQuestion(found, series, context, at)], how };

  const read = valuesOf(series, context);
  if ("severity" in read) return stop(read, { how: known, remarks: [] });
  const { values } = read;
  if (values.length < 2) return stop(oneClass(read.cells[0]), { how: known, remarks: [] });
  const kind = valuesKind(values, context);
  const guessed: SeriesGuess[] = [
    ...known,
    { option: "values", value: kind.value, source: kind.source, evidence: kind.evidence },
  ];
  if (kind.doubt !== null) {
    const question = doubtQuestion(series, context, kind, at);
    return { measurement: null, problems: [], questions: [question], how: guessed };
  }
  const turned = kind.value === "oversize" ? "undersize = whole − value" : null;
  const noted = kind.note === null ? [] : [problem("note", kind.note, { effect: turned })];
  const { built, entered } = builtFrom(read, kind.value, context);
  const remarks = [...read.remarks, ...noted, ...entered.remarks];
  if ("severity" in built) return stop(built, { how: [...guessed, ...entered.how], remarks });
  const usesEdges = kind.value === "class" || isDensity(kind.value);
  const [distribution] = built.options;
  const onlyEdge: SeriesGuess[] =
    usesEdges && built.options.length === 1 && edge === null && distribution !== undefined
      ? [{ option: "edge", value: distribution.edge, source: "table", evidence: "only this fits the table" }]
      : [];
  const how = [...refined([...guessed, ...entered.how], built.how), ...onlyEdge];
  const questions = questionsOf(
    usesEdges ? built : { ...built, options: built.options.slice(0, 1) },
    context,
    at,
  );
  if (questions.length > 0 || distribution === undefined)
    return { measurement: null, problems: [], questions, how };
  return {
    measurement: { file: context.file, name: context.name, distribution: distribution.distribution },
    problems: placed([...remarks, ...built.remarks]),
    questions: [],
    how,
  };
}

/** "Fraction" in a name, over values far above a whole, says nothing of their scale; nor does "ppm" over values that end below 101. */
function withoutOddScale(series: Series, context: SeriesContext): SeriesContext {
  const { scale, parsed } = context;
  if (scale?.source !== "table" || (scale.value !== "fraction" && scale.value !== "ppm")) return context;
  const reach =
    series.numbers !== undefined
      ? maxOf(series.numbers.values)
      : series.cells.reduce((high, { text }) => Math.max(high, parsed.share(text) ?? high), 0);
  const isOdd =
    scale.value === "fraction"
      ? reach > maxFraction(scale)
      : reach <= maxPercent || !isOfMillion(series, context);
  return isOdd ? { ...context, scale: null } : context;
}
/** Whether values add to or reach a million, as shares in ppm do and counts do not. */
function isOfMillion(series: Series, { parsed }: SeriesContext): boolean {
  const values = series.numbers?.values ?? series.cells.flatMap(({ text }) => parsed.share(text) ?? []);
  const sum = values.reduce((a, b) => a + b, 0);
  return [sum, maxOf(values)].some((whole) => Math.abs(whole / wholeOf.ppm - 1) <= nearMillion);
}
const nearMillion = 0.02;

const maxPercent = 101;
/** A heading that speaks of fractions may mean shares; a note may speak of something else altogether. */
const maxFraction = ({ isNoted }: Known<string>) => (isNoted === true ? 1.05 : maxPercent);

/** A problem that a person can answer, with what each answer would make of the median. */
function problemQuestion(
  found: Problem,
  series: Series,
  context: SeriesContext,
  at: TablePlace,
): OpenQuestion {
  const given = found.choices ?? [];
  return {
    at: { ...at, row: found.row ?? at.row },
    option: given[0]?.option ?? "edge",
    values: given.map((c) => c.value),
    choices: () =>
      given.map((c) => ({ ...c, d50Um: c.d50Um ?? medianUnder(c.option, c.value, series, context) })),
    found: found.found ?? "",
    ask: () => found.message,
  };
}

/** The median if a question about one series were answered so; null where more is open, or it cannot be read so. */
function medianUnder(option: string, value: string, series: Series, context: SeriesContext): number | null {
  const options = withAnswer(context.options, option, value);
  if (options === null) return null;
  const answer = <T>(said: T | undefined, known: Known<T> | null): Known<T> | null =>
    said === undefined ? known : { value: said, source: "option", evidence: "" };
  const { measurement } = readSeries(series, {
    ...context,
    options,
    edge: answer(options.edge, context.edge),
    values: answer(options.values, context.values),
    scale: answer(options.scale, context.scale),
    quantity: context.quantity ?? { value: "volume", source: "assumed", evidence: "" },
  });
  return measurement === null ? null : sizeAt(curveOf(measurement.distribution), 0.5);
}

function guessOf(option: SeriesOption, known: Known<string>): SeriesGuess {
  return { option, value: known.value, source: known.source, evidence: known.evidence };
}

/** Guesses with those that were found later in their place, the others behind them. */
function refined(earlier: readonly SeriesGuess[], later: readonly SeriesGuess[]): SeriesGuess[] {
  const isOf = (a: SeriesGuess) => (b: SeriesGuess) => a.option === b.option;
  return [
    ...earlier.map((guess) => later.find(isOf(guess)) ?? guess),
    ...later.filter((guess) => !earlier.some(isOf(guess))),
  ];
}

/** Words and numbers disagree: what the values could be instead, with the median that gives. */
function doubtQuestion(
  series: Series,
  context: SeriesContext,
  kind: ValuesKind,
  at: TablePlace,
): OpenQuestion {
  const { doubt } = kind;
  const instead = doubt?.instead ?? [];
  const choices = () =>
    instead.map((value) => ({
      option: "values",
      value,
      d50Um: medianUnder("values", value, series, context),
    }));
  return {
    at,
    option: "values",
    values: instead,
    found: series.heading,
    choices,
    ask: (names) =>
      `${doubt?.why ?? ""}. Say what the values of ${names} are; or mend the heading or the column.`,
  };
}
