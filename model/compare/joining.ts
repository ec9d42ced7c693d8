import { type Curve, curveOf, meanCurve, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { itemAt, zip } from "#distributions/lists.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { type Estimate, estimatesOf, excludes, leaveOneOut, scaled } from "#model/lot/leaveOneOut.ts";

/** What firing again did to the curve: every size grew, and a part of the powder joined into larger pieces. */
export interface NeckedShare {
  /** φ: the share of the volume that joined. */
  readonly share: Estimate;
  /** s: how many times larger the joined pieces are than what they were made of; one of a few, the best fitting. */
  readonly timesLarger: number;
  /**
   * Growth of every size beside the φ found, per cent; negative where all became finer. Where φ came out below 0 the two
   * make up for each other, and neither means much alone.
   */
  readonly growthPercent: Estimate;
  /**
   * joining: the interval of φ lies above 0. growth: that of the growth alone does. Else neither can be told from
   * the scatter of the runs, or there are too few runs to tell.
   */
  readonly verdict: "joining" | "joining and growth" | "growth" | "neither" | "too few runs";
}

/** Within 1.5 … 5: below, joining looks like growth; above, there would be a second powder. docs/science.md. */
const factors: readonly number[] = [1.5, 2, 2.5, 3, 4, 5];

/** Finer than this share of the powder, healed fines would be taken for joining. A judgement of ours. */
const fromShare = 0.1;

const steps = 40;

/** Between these the growth is looked for; a part above maxJoined would only be the whole powder by another name. */
const growthLn = { from: Math.log(0.8), to: Math.log(2), scan: 24 } as const;
const maxJoined = 0.5;

/**
 * Q_re-fired(x) = (1 − φ) Q_milled(x/g) + φ Q_milled(x/(g s)), by least squares at sizes even in ln x, from the size with a
 * tenth of the milled powder finer on. φ may come out negative, so that it is not pulled up from 0; s is the best of a few
 * and then held while the interval is found by leaving runs out, since at φ = 0 it is not defined.
 *
 * @returns null where a tenth of either powder lies below its classes
 * Accuracy: 5 % joined at 2 times is found in over 80 % of lots and joining is claimed in under 5 % without (simulated,
 * docs/validation.md). Source: docs/science.md.
 */
export function neckedShareOf(
  milled: readonly NamedMeasurement[],
  refired: readonly NamedMeasurement[],
  level: number,
): NeckedShare | null {
  const before = milled.map((m) => curveOf(m.distribution));
  const after = refired.map((m) => curveOf(m.distribution));
  const whole = sampled(meanCurve(before), meanCurve(after));
  if (whole === null) return null;
  const best = factors
    .map((times) => ({ times, ...fitted(whole, times) }))
    .reduce((a, b) => (b.misfit < a.misfit ? b : a));
  const joint = leaveOneOut([before, after], ([a = [], b = []]) => {
    const pair = sampled(meanCurve(a), meanCurve(b));
    if (pair === null) return [null, null];
    const own = fitted(pair, best.times);
    return [own.share, own.growthLn];
  });
  const [share, growth] = estimatesOf(joint, level);
  if (share === undefined || growth === undefined) return null;
  const growthPercent = scaled(growth, (v) => 100 * Math.expm1(v));
  return { share, timesLarger: best.times, growthPercent, verdict: verdictOf(share, growthPercent) };
}

function verdictOf(share: Estimate, growth: Estimate): NeckedShare["verdict"] {
  if (share.interval === null || growth.interval === null) return "too few runs";
  const joined = share.interval.low > 0;
  const grew = excludes(growth, 0) === true && growth.interval.low > 0;
  if (joined) return grew ? "joining and growth" : "joining";
  return grew ? "growth" : "neither";
}

/** Both curves at sizes even in ln x, the milled one reaching far enough down to be enlarged. */
interface Pair {
  readonly milled: Curve;
  readonly sizesUm: readonly number[];
  readonly refired: readonly number[];
}

function sampled(milled: Curve, refired: Curve): Pair | null {
  const from = sizeAt(milled, fromShare);
  const to = sizeAt(refired, Math.min(0.999, itemAt(refired.undersize, -1)));
  if (from === null || to === null || to <= from) return null;
  const sizesUm = Array.from({ length: steps }, (_, i) => from * (to / from) ** (i / (steps - 1)));
  return { milled, sizesUm, refired: sizesUm.map((x) => undersizeAt(refired, x)) };
}

/** Growth by a scan and golden section about its best; at each growth the best φ has a closed form. */
function fitted(pair: Pair, times: number): { share: number; growthLn: number; misfit: number } {
  const at = (ln: number) => shareAt(pair, times, ln);
  const golden = (Math.sqrt(5) - 1) / 2;
  const width = (growthLn.to - growthLn.from) / growthLn.scan;
  const scan = Array.from({ length: growthLn.scan + 1 }, (_, i) => growthLn.from + i * width);
  const start = scan.reduce((best, g) => (at(g).misfit < at(best).misfit ? g : best));
  let low = start - width;
  let high = start + width;
  let a = high - golden * (high - low);
  let b = low + golden * (high - low);
  let atA = at(a);
  let atB = at(b);
  while (high - low > 1e-5) {
    if (atA.misfit < atB.misfit) {
      high = b;
      b = a;
      atB = atA;
      a = high - golden * (high - low);
      atA = at(a);
    } else {
      low = a;
      a = b;
      atA = atB;
      b = low + golden * (high - low);
      atB = at(b);
    }
  }
  const found = (low + high) / 2;
  return { growthLn: found, ...at(found) };
}

function shareAt({ milled, sizesUm, refired }: Pair, times: number, ln: number) {
  const growth = Math.exp(ln);
  let crossed = 0;
  let squared = 0;
  const rows = zip(sizesUm, refired).map(([x, share]) => {
    const single = undersizeAt(milled, x / growth);
    const joined = undersizeAt(milled, x / (growth * times)) - single;
    const left = share - single;
    crossed += joined * left;
    squared += joined * joined;
    return { joined, left };
  });
  const share = squared > 0 ? Math.min(Math.max(crossed / squared, -maxJoined), maxJoined) : 0;
  const misfit = rows.reduce((sum, { joined, left }) => sum + (left - share * joined) ** 2, 0);
  return { share, misfit };
}
