import { curveOf, sizeAt } from "#distributions/curve.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { isDensity } from "#distributions/tables/evidence/density.ts";
import type { SeriesContext, SeriesGuess } from "#distributions/tables/evidence/seriesContext.ts";
import { scaleDoubt, scaleGuess } from "#distributions/tables/evidence/seriesScale.ts";
import {
  addsToWhole,
  scaleOf,
  sharesOfAmounts,
  sharesOfClasses,
  sharesOfUndersize,
} from "#distributions/tables/evidence/shares.ts";
import { type ValuesKind, valuesKind } from "#distributions/tables/evidence/valuesKind.ts";
import type { Cell, Series } from "#distributions/tables/layout/block.ts";
import { oneClass } from "#distributions/tables/saying/refusals.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import type { ScaleOption, ValuesOption } from "#distributions/tables/text/readingOptions.ts";
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
  const stop = (...problems: readonly Problem[]): SeriesReading => ({
    measurement: null,
    problems: placed(problems),
    questions: [],
    how,
  });

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
  const remarks: Problem[] =
    kind.note === null
      ? []
      : [
          problem("note", kind.note, {
            effect: kind.value === "oversize" ? "undersize = whole − value" : null,
          }),
        ];
  const built = builtFrom(values, cells, kind.value, context, closing, how, remarks);
  if ("severity" in built) {
    const choices = built.choices;
    if (choices === undefined) return stop(...remarks.filter((p) => p.severity !== "note"), built);
    const question: OpenQuestion = {
      at: { ...at, row: built.row ?? at.row },
      option: choices[0]?.option ?? "edge",
      values: choices.map((c) => c.value),
      choices: () => choices,
      found: built.found ?? "",
      ask: () => built.message,
    };
    return { measurement: null, problems: [], questions: [question], how };
  }
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
  const scale = context.scale?.value ?? scaleOf(values, kind);
  const unsure = scaleDoubt(values, kind, context);
  if (unsure !== null) return unsure;
  const fractions = values.map((v) => v / wholeOf[scale]);
  const shares: Weigh = () =>
    scale === "amount" ? sharesOfAmounts(values, cells) : sharesOfClasses(fractions, cells);
  if (kind === "class") {
    if (context.values === null && context.scale?.value !== "amount" && !addsToWhole(values)) {
      const asDensity = fromClasses(weighDensity(values, cells, null, known, how, remarks), known, closing);
      if (!("severity" in asDensity)) return asDensity;
    }
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
    instead.map((value) => {
      const other = readSeries(series, {
        ...context,
        quantity: context.quantity ?? { value: "volume", source: "assumed", evidence: "" },
        values: { value, source: "option", evidence: "" },
      });
      return {
        option: "values",
        value,
        d50Um: other.measurement === null ? null : sizeAt(curveOf(other.measurement.distribution), 0.5),
      };
    });
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
