import { type Curve, meanCurve, undersizeAt } from "#distributions/curve.ts";
import type { DecisionRule, Outside, Verdict } from "./band.ts";
import { type Envelope, type EnvelopeSize, sizesOf } from "./envelope.ts";
import { judge, overall } from "./judge.ts";

/** The envelope is judged where its middle lies between these; its flat ends are shown, not judged. */
const judgedFrom = 0.05;
const judgedTo = 0.95;

/** The runs' curves against the envelope at each of its judged sizes. */
export function envelopeVerdict(runs: readonly Curve[], envelope: Envelope, rule: DecisionRule): Verdict {
  return overall(verdictsBySize(runs, envelope, rule).map(({ verdict }) => verdict));
}

/** The verdict on a curve, and between which judged sizes it is that. */
export interface EnvelopeFinding {
  readonly verdict: Verdict;
  readonly fromUm: number;
  readonly toUm: number;
}

/** @returns null where the envelope has no judged size */
export function envelopeFinding(
  runs: readonly Curve[],
  envelope: Envelope,
  rule: DecisionRule,
): EnvelopeFinding | null {
  const each = verdictsBySize(runs, envelope, rule);
  const verdict = overall(each.map((one) => one.verdict));
  const sizes = each.filter((one) => one.verdict === verdict).map(({ sizeUm }) => sizeUm);
  const [fromUm, toUm] = [sizes[0], sizes.at(-1)];
  return fromUm === undefined || toUm === undefined ? null : { verdict, fromUm, toUm };
}

function verdictsBySize(runs: readonly Curve[], envelope: Envelope, rule: DecisionRule) {
  return judgedSizes(envelope).map(({ sizeUm, low, high }) => {
    const shares = runs.map((run) => undersizeAt(run, sizeUm));
    return { sizeUm, verdict: judge(shares, { low, high }, rule).verdict };
  });
}

function judgedSizes(envelope: Envelope): readonly EnvelopeSize[] {
  return sizesOf(envelope).filter(({ low, high }) => {
    const middle = (low + high) / 2;
    return middle >= judgedFrom && middle <= judgedTo;
  });
}

/**
 * Every stretch between the judged sizes where the mean of the runs leaves the envelope, whose sides run straight in ln x.
 * The ends are where the mean crosses a side; the verdict is that of the runs where the excess is largest.
 */
export function stretchesOutside(runs: readonly Curve[], envelope: Envelope, rule: DecisionRule): Outside[] {
  const judged = judgedSizes(envelope);
  const fromUm = judged[0]?.sizeUm;
  const toUm = judged.at(-1)?.sizeUm;
  if (fromUm === undefined || toUm === undefined) return [];
  const side = (shares: readonly number[]): Curve => ({
    edgesUm: envelope.sizesUm,
    undersize: shares,
    power: 0,
  });
  const low = side(envelope.lowShares);
  const high = side(envelope.highShares);
  const mean = meanCurve(runs);
  const sizes = [...new Set([...envelope.sizesUm, ...mean.edgesUm])]
    .filter((x) => x >= fromUm && x <= toUm)
    .sort((a, b) => a - b);
  const verdictAt = (x: number) =>
    judge(
      runs.map((run) => undersizeAt(run, x)),
      { low: undersizeAt(low, x), high: undersizeAt(high, x) },
      rule,
    ).verdict;
  const above = stretches(sizes, (x) => undersizeAt(mean, x) - undersizeAt(high, x));
  const below = stretches(sizes, (x) => undersizeAt(low, x) - undersizeAt(mean, x));
  return [
    ...above.map((s): Outside => ({ ...ends(s), points: 100 * s.excess, verdict: verdictAt(s.atUm) })),
    ...below.map((s): Outside => ({ ...ends(s), points: -100 * s.excess, verdict: verdictAt(s.atUm) })),
  ].sort((a, b) => a.fromUm - b.fromUm);
}

/** A stretch with its largest excess and where that is. */
interface Stretch {
  readonly fromUm: number;
  readonly toUm: number;
  readonly excess: number;
  readonly atUm: number;
  readonly cutAt: readonly ("from" | "to")[];
}

function ends({ fromUm, toUm, cutAt }: Stretch): Pick<Outside, "fromUm" | "toUm" | "cutAt"> {
  return { fromUm, toUm, ...(cutAt.length === 0 ? {} : { cutAt }) };
}

function stretches(sizes: readonly number[], excess: (x: number) => number): Stretch[] {
  const points = sizes.map((x) => ({ x, e: excess(x) }));
  const found: Stretch[] = [];
  for (const [i, point] of points.entries()) {
    const before = points[i - 1];
    const isFirstOutside = point.e > 0 && !(before !== undefined && before.e > 0);
    if (!isFirstOutside) continue;
    const after = points.findIndex((p, j) => j > i && p.e <= 0);
    const inside = points[after];
    const stretch = points.slice(i, after < 0 ? points.length : after);
    const last = stretch.at(-1) ?? point;
    const worst = stretch.reduce((most, p) => (p.e > most.e ? p : most), point);
    found.push({
      fromUm: before === undefined ? point.x : crossingSize(before, point),
      toUm: inside === undefined ? last.x : crossingSize(last, inside),
      excess: worst.e,
      atUm: worst.x,
      cutAt: [
        ...(before === undefined ? (["from"] as const) : []),
        ...(inside === undefined ? (["to"] as const) : []),
      ],
    });
  }
  return found;
}

/** Where a straight line in ln x between two excesses passes zero. */
function crossingSize(a: { x: number; e: number }, b: { x: number; e: number }): number {
  if (a.e === b.e) return b.x;
  const part = Math.min(Math.max(a.e / (a.e - b.e), 0), 1);
  return a.x * (b.x / a.x) ** part;
}
