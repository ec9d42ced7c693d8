import { curveOf, sizeAt } from "#distributions/curve.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { isDensity } from "#distributions/tables/evidence/density.ts";
import type { Known, SeriesContext, SeriesGuess } from "#distributions/tables/evidence/seriesContext.ts";
import { amountDoubt, scaleDoubt, scaleGuess } from "#distributions/tables/evidence/seriesScale.ts";
import {
  scaleOf,
  sharesOfAmounts,
  sharesOfClasses,
  sharesOfUndersize,
} from "#distributions/tables/evidence/shares.ts";
import { type ValuesKind, valuesKind } from "#distributions/tables/evidence/valuesKind.ts";
import type { Cell, Series } from "#distributions/tables/layout/block.ts";
import { addsToWhole } from "#distributions/tables/layout/wholes.ts";
import { oneClass } from "#distributions/tables/saying/refusals.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import {
  type ScaleOption,
  type ValuesOption,
  withAnswer,
} from "#distributions/tables/text/readingOptions.ts";
import { type Built, fromClasses, fromCumulative, type Weigh } from "./buildDistribution.ts";
import { weighDensity } from "./densitySeries.ts";
import { type OpenQuestion, questionsOf, type TablePlace } from "./questions.ts";
import { type Closing, valuesOf } from "./seriesValues.ts";

export interface SeriesReading {
  readonly measurement: NamedMeasurement | null;
  readonly problems: readonly Problem[];
  readonly questions: readonly OpenQuestion[];
  readonly how: readonly SeriesGuess[];
}

/** One measurement from its values, all or nothing. */
export function readSeries(series: Series, context: SeriesContext): SeriesReading {
  const at: TablePlace = {
    file: context.file,
    measurement: context.name,
    row: series.at.row,
    column: series.at.column,
  };
  const how: SeriesGuess[] = [];
  for (const option of ["edge", "quantity"] as const) {
    const found = context[option];
    if (found !== null) how.push({ option, ...found });
  }
  const placed = (problems: readonly Problem[]) =>
    problems.map((p) => ({ ...p, file: at.file, measurement: at.measurement }));
  /** What stands instead of a measurement: a question where the problem offers answers, else a refusal. */
  const stop = (found: Problem, remarks: readonly Problem[] = []): SeriesReading =>
    found.choices === undefined
      ? {
          measurement: null,
          problems: placed([...remarks.filter((p) => p.severity !== "note"), found]),
          questions: [],
          how,
        }
      : { measurement: null, problems: [], questions: [problemQuestion(found, series, context, at)], how };

  const read = valuesOf(series, context);
  if ("severity" in read) return stop(read);
  const { values, cells, closing } = read;
  if (values.length < 2) return stop(oneClass(cells[0]));
  const kind = valuesKind(values, context);
  how.push({ option: "values", value: kind.value, source: kind.source, evidence: kind.evidence });
  if (kind.doubt !== null) {
    const question = doubtQuestion(series, context, kind, at);
    return { measurement: null, problems: [], questions: [question], how };
  }
  const remarks: Problem[] = [...read.remarks];
  if (kind.note !== null)
    remarks.push(
      problem("note", kind.note, { effect: kind.value === "oversize" ? "undersize = whole − value" : null }),
    );
  const built = builtFrom(values, cells, kind.value, context, closing, how, remarks);
  if ("severity" in built) return stop(built, remarks);
  const usesEdges = kind.value === "class" || isDensity(kind.value);
  const [distribution] = built.options;
  if (usesEdges && built.options.length === 1 && context.edge === null && distribution !== undefined)
    how.push({
      option: "edge",
      value: distribution.edge,
      source: "table",
      evidence: "only this fits the table",
    });
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

/** Shares, then edges: what the values make of the sizes. Adds to what is told about the reading. */
function builtFrom(
  values: readonly number[],
  cells: readonly Cell[],
  kind: ValuesOption,
  context: SeriesContext,
  closing: Closing,
  how: SeriesGuess[],
  remarks: Problem[],
): Built | Problem {
  const known =
    closing.above !== undefined || closing.below !== undefined
      ? closed(context, closing, how, remarks)
      : context;
  if (isDensity(kind))
    return fromClasses(weighDensity(values, cells, [kind], known, how, remarks), known, closing);
  // A word for counts says what is counted; cumulative values that end at 100 are per cent all the same.
  const isEndedShare =
    kind !== "class" &&
    context.scale?.value === "amount" &&
    context.scale.source === "table" &&
    Math.max(...values) <= 100.6;
  // "Fraction" means a share in many a heading; values that make 100 are per cent.
  const isHundred =
    context.scale?.value === "fraction" &&
    context.scale.source === "table" &&
    Math.abs((kind === "class" ? values.reduce((a, b) => a + b, 0) : Math.max(...values)) / 100 - 1) <= 0.01;
  const scale =
    isEndedShare || isHundred ? scaleOf(values, kind) : (context.scale?.value ?? scaleOf(values, kind));
  const unsure = scaleDoubt(values, kind, context);
  if (unsure !== null) return unsure;
  const fractions = values.map((v) => v / wholeOf[scale]);
  const shares: Weigh = () =>
    scale === "amount"
      ? sharesOfAmounts(values, cells)
      : sharesOfClasses(fractions, cells, context.options.sum);
  if (kind === "class") {
    if (context.values === null && context.scale?.value !== "amount" && !addsToWhole(values)) {
      const asDensity = fromClasses(weighDensity(values, cells, null, known, how, remarks), known, closing);
      if (!("severity" in asDensity)) return asDensity;
    }
    const amounts = context.scale === null ? amountDoubt(values, cells) : null;
    if (amounts !== null) return amounts;
    scaleGuess(values, scale, kind, context, how, remarks);
    return fromClasses(shares, known, closing);
  }
  scaleGuess(values, scale, kind, context, how, remarks);
  const whole = scale === "amount" ? Math.max(...values) : 1;
  const rising = fractions.map((v) => (kind === "undersize" ? v / whole : 1 - v / whole));
  const undersize = sharesOfUndersize(rising, cells);
  return "severity" in undersize ? undersize : fromCumulative(undersize, context);
}

const wholeOf: Readonly<Record<ScaleOption, number>> = { percent: 100, fraction: 1, ppm: 1e6, amount: 1 };

/** With a size that only closes a class, the others can only be the edges on its other side. */
function closed(
  context: SeriesContext,
  closing: Closing,
  how: SeriesGuess[],
  remarks: Problem[],
): SeriesContext {
  const [list = []] = context.sizes.listsUm;
  const isTop = closing.above !== undefined;
  const value = isTop ? ("lower" as const) : ("upper" as const);
  const um = figuresText(closing.above ?? closing.below ?? 0);
  const evidence = `${um} µm stands without a value at the ${isTop ? "coarse" : "fine"} end`;
  if (context.edge === null) {
    how.push({ option: "edge", value, source: "table", evidence });
    remarks.push(
      problem(
        "note",
        `${um} µm has no value: it closes the ${isTop ? "coarsest" : "finest"} class, so the sizes are ${value} edges.`,
      ),
    );
  }
  return {
    ...context,
    edge: context.edge ?? { value, source: "table", evidence },
    sizes: {
      ...context.sizes,
      listsUm: [isTop ? list.slice(0, -1) : list.slice(1)],
      order: isTop ? context.sizes.order.slice(0, -1) : context.sizes.order.slice(1),
    },
  };
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
