import { maxOf } from "#distributions/lists.ts";
import { intervalOfMean, meanOfRuns, minRuns } from "#model/lot/intervals.ts";
import type { DecisionRule, RowCheck, Verdict } from "./band.ts";

/** Level of the interval that the two-sided and the guarded rule look at. */
const level = 0.95;

/**
 * A mean of runs against two limits under a decision rule.
 * simple: the value alone. two-sided: the 95 % interval of the mean wholly inside is in, wholly outside is out, else on the edge.
 * guarded: in only when wholly inside, else out.
 *
 * Source: JCGM 106 (acceptance with guard bands); ILAC-G8 (from memory); docs/science.md.
 */
export function judge(
  values: readonly number[],
  limits: {
    readonly low: number | null;
    readonly high: number | null;
    readonly repeatabilitySd?: number | undefined;
  },
  rule: DecisionRule,
): Pick<RowCheck, "value" | "interval" | "verdict"> {
  const of = meanOfRuns(values, limits.repeatabilitySd ?? null);
  const interval = intervalOfMean(of, level);
  const value = of.mean;
  if (rule === "simple")
    return { value, interval, verdict: isInside(value, value, limits) ? "in band" : "out of band" };
  if (interval === null) return { value, interval, verdict: "too few runs" };
  if (isInside(interval.low, interval.high, limits)) return { value, interval, verdict: "in band" };
  const isOutside =
    (limits.low !== null && interval.high < limits.low) ||
    (limits.high !== null && interval.low > limits.high);
  return {
    value,
    interval,
    verdict: rule === "guarded" || isOutside ? "out of band" : "on the edge",
  };
}

/**
 * A size that moves by whole classes against two limits: the coarsest run stands for the lot, without an interval or a
 * chance, which would speak of sizes between the classes. In only where every run is in; under the two-sided rule on the
 * edge where some are; else out.
 *
 * Source: ours, docs/science.md.
 */
export function judgeByClass(
  values: readonly number[],
  limits: { readonly low: number | null; readonly high: number | null },
  rule: DecisionRule,
): Pick<RowCheck, "value" | "interval" | "verdict"> {
  const inside = values.filter((v) => isInside(v, v, limits)).length;
  const isShort = rule !== "simple" && values.length < minRuns;
  const isSplit = rule === "two-sided" && inside > 0;
  return {
    value: maxOf(values),
    interval: null,
    verdict: isShort
      ? "too few runs"
      : inside === values.length
        ? "in band"
        : isSplit
          ? "on the edge"
          : "out of band",
  };
}

function isInside(
  from: number,
  to: number,
  limits: { readonly low: number | null; readonly high: number | null },
): boolean {
  return (limits.low === null || from >= limits.low) && (limits.high === null || to <= limits.high);
}

/** Out if any is out, else too few if any has too few runs, else on the edge if any is, else in. */
export function overall(verdicts: readonly Verdict[]): Verdict {
  return (
    (["out of band", "too few runs", "on the edge"] as const).find((word) => verdicts.includes(word)) ??
    "in band"
  );
}
