import { type Problem, problem } from "#distributions/problem.ts";
import { limitBeyond } from "#model/band/limits.ts";
import { type Individuals, individuals, minLotsForChart } from "#model/factors/individuals.ts";
import type { Limits } from "#model/numbers/jointChance.ts";
import { lineThrough, type RegressionLine } from "#model/numbers/line.ts";
import { type ColumnWords, columnWords } from "#model/words/columnWords.ts";
import { capital, counted, figures, listed, signedFigures } from "#model/words/wording.ts";

/** Results and settings of lots in the order they were made; null where a lot has none. */
export interface LotHistory {
  readonly lots: readonly string[];
  readonly columns: readonly HistoryColumn[];
}

export interface HistoryColumn {
  readonly name: string;
  /** Of its values; left out where it is not known. */
  readonly unit?: string;
  readonly values: readonly (number | null)[];
}

/** What a setting, or another result, goes with. */
export interface Effect {
  readonly of: string;
  readonly factor: string;
  /** Of the slope, as "µm per °C"; "per unit of excess" where the units are not known. */
  readonly per: string;
  readonly lots: number;
  readonly line: RegressionLine | null;
  readonly verdict: "rises" | "falls" | "no effect told" | "too few lots";
  readonly sentence: string;
}

export interface HistoryAnswer {
  readonly charts: readonly {
    readonly name: string;
    /** Lots that have a value, in order. */
    readonly lots: readonly string[];
    readonly unit: string;
    readonly chart: Individuals | null;
    /** What the values should lie between; null where no band asks it. */
    readonly target: Limits | null;
    readonly sentence: string;
  }[];
  readonly effects: readonly Effect[];
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

/** Below this many lots no slope is given. A judgement of ours. */
export const minLotsForEffect = 6;

export interface HistoryQuestion {
  readonly of: readonly string[];
  readonly factors: readonly string[];
  readonly targets?: Readonly<Record<string, Limits>>;
  readonly level?: number;
}

/**
 * Charts of single values over lots, and what each setting goes with.
 *
 * @param of       columns that are results, each charted
 * @param factors  columns held against every result: temperature, excess, dopant level, fines, area
 * @param targets  by a result's name: lots outside them are named first
 * Source: individuals charts (NIST/SEMATECH e-Handbook); least squares with Student's t; docs/science.md.
 */
export function historyAnswer(
  history: LotHistory,
  { of, factors, targets = {}, level = 0.95 }: HistoryQuestion,
): HistoryAnswer {
  const problems: Problem[] = [];
  const column = (name: string) => {
    const known = history.columns.find((c) => c.name === name);
    if (known === undefined)
      problems.push(
        problem(
          "refused",
          `There is no column ${name}. The columns are ${listed(history.columns.map((c) => c.name))}.`,
          { found: name, expected: history.columns.map((c) => c.name).join(", ") },
        ),
      );
    return known;
  };
  const results = of.flatMap((name) => column(name) ?? []);
  const settings = factors.flatMap((name) => column(name) ?? []);
  const charts = results.map((result) => {
    const { name, values } = result;
    const words = columnWords(name, result.unit);
    const unit = words.unit ?? "";
    const kept = values.flatMap((v, i) => (v === null ? [] : [{ v, lot: history.lots[i] ?? "" }]));
    const chart = individuals(kept.map((k) => k.v));
    const lots = kept.map((k) => k.lot);
    const target = targets[name] ?? null;
    const outside = target === null ? [] : kept.filter(({ v }) => limitBeyond(v, target) !== null);
    const sentence = [
      target === null ? "" : outsideSentence(words.name, unit, outside, target),
      chartSentence(words.name, lots, chart, unit),
    ];
    return { name, unit, lots, chart, target, sentence: sentence.filter((part) => part !== "").join(" ") };
  });
  const effects = results.flatMap((result) =>
    settings.filter((s) => s.name !== result.name).map((setting) => effectOf(result, setting, level)),
  );
  const found = effects.filter((e) => e.verdict === "rises" || e.verdict === "falls");
  const few = effects.filter((e) => e.verdict === "too few lots" && e.lots < minLotsForEffect);
  const alike = effects.filter((e) => e.line === null && e.lots >= minLotsForEffect);
  const sentence = [
    ...found.map((e) => e.sentence),
    ...charts.map((c) => c.sentence),
    ...alike.map((e) => e.sentence),
    effects.length > found.length + few.length + alike.length
      ? `No significant effect was found of ${listed(effects.filter((e) => e.verdict === "no effect told").map(pairText))}.`
      : "",
    few.length > 0 ? `There are too few lots to find an effect of ${listed(few.map(pairText))}.` : "",
  ].filter((s) => s !== "");
  return { charts, effects, sentence: sentence.join(" "), problems };
}

function effectOf(result: HistoryColumn, setting: HistoryColumn, level: number): Effect {
  const points = result.values.flatMap((y, i) => {
    const x = setting.values[i] ?? null;
    return x === null || y === null ? [] : [{ x, y }];
  });
  const [xs, ys] = [points.map((p) => p.x), points.map((p) => p.y)];
  const line = points.length < minLotsForEffect ? null : lineThrough(xs, ys, level);
  const verdict =
    line === null
      ? "too few lots"
      : line.slopeInterval.low > 0
        ? "rises"
        : line.slopeInterval.high < 0
          ? "falls"
          : "no effect told";
  const per = perText(columnWords(result.name, result.unit), columnWords(setting.name, setting.unit));
  const found = { of: result.name, factor: setting.name, per, lots: points.length, line, verdict } as const;
  return { ...found, sentence: effectSentence(found) };
}

/** "D50 rises with firing temperature by 0.012 µm per °C (0.0040–0.020, eight lots)." Going together is not causing. */
export function effectSentence(effect: Omit<Effect, "sentence">): string {
  const { per, lots, line, verdict } = effect;
  const [of, factor] = [columnWords(effect.of).name, columnWords(effect.factor).name];
  if (line === null && lots >= minLotsForEffect)
    return `No effect of ${factor} on ${of} can be found: ${factor} was the same for all ${counted(lots, "lot")}.`;
  if (line === null)
    return `There are too few lots to find an effect of ${factor} on ${of}: ${counted(lots, "lot")}, but ${counted(minLotsForEffect, "lot")} with different settings are needed.`;
  const { low, high } = line.slopeInterval;
  if (verdict === "no effect told")
    return `No significant effect of ${factor} on ${of} was found: ${signedFigures(line.slope)} ${per} (${signedFigures(low)} to ${signedFigures(high)}, ${counted(lots, "lot")}).`;
  const ends = [Math.abs(low), Math.abs(high)].sort((a, b) => a - b);
  // Two figures, as the interval allows; three where it is narrower than they show.
  const digits = new Set([...ends, line.slope].map((v) => figures(Math.abs(v), 2))).size < 3 ? 3 : 2;
  return `${capital(of)} ${verdict} with ${factor} by ${figures(Math.abs(line.slope), digits)} ${per} (${ends.map((v) => figures(v, digits)).join("–")}, ${counted(lots, "lot")}). This is a correlation, not proof of a cause.`;
}

const pairText = ({ factor, of }: Pick<Effect, "factor" | "of">) =>
  `${columnWords(factor).name} on ${columnWords(of).name}`;

function perText(of: ColumnWords, factor: ColumnWords): string {
  const per = factor.unit ? `per ${factor.unit}` : `per unit of ${factor.name}`;
  return `${of.unit ?? ""} ${per}`.trim();
}

/** More lots than this are counted and not named one by one. */
const maxNamed = 3;

function outsideSentence(
  name: string,
  unit: string,
  outside: readonly { readonly lot: string; readonly v: number }[],
  target: Limits,
): string {
  if (outside.length === 0) return "";
  const shown = (value: number | null) => (value === null ? "–" : `${figures(value)} ${unit}`.trim());
  if (outside.length > maxNamed)
    return `${capital(counted(outside.length, "lot"))} lie outside the limits of ${name}, most recently ${outside.at(-1)?.lot}.`;
  return outside
    .map(({ lot, v }) => {
      const side = limitBeyond(v, target) ?? "high";
      return `${lot}: ${name} ${shown(v)} is ${side === "high" ? "above" : "below"} the ${side === "high" ? "upper" : "lower"} limit of ${shown(target[side])}.`;
    })
    .join(" ");
}

/** Whether the last lots look like those before. "Steady" is not said of few: their limits are wide with the very lots they judge. */
export function chartSentence(
  name: string,
  lots: readonly string[],
  chart: Individuals | null,
  unit = "",
): string {
  if (chart === null)
    return `${capital(name)} has no control limits yet: they need ${counted(minLotsForChart, "lot")}, and there ${lots.length === 1 ? "is" : "are"} ${counted(lots.length, "lot")}.`;
  const range = `${figures(chart.low)}–${figures(chart.high)} ${unit}`.trim();
  const isFew = lots.length < 2 * minLotsForChart;
  const limits = isFew ? "provisional control limits" : "control limits";
  if (chart.hits.length === 0)
    return isFew
      ? `${capital(counted(lots.length, "lot"))} are too few to call ${name} steady; no control rule is broken (${limits} ${range}).`
      : `${capital(name)} is steady over ${counted(lots.length, "lot")} (${limits} ${range}).`;
  const said = chart.hits.map((h) => `${lots[h.at] ?? ""} (${h.rule}, ${h.side})`);
  return `${capital(name)} is not steady: ${listed([...new Set(said)])} (${limits} ${range}).`;
}
