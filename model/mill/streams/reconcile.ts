import { type Curve, undersizeAt } from "#distributions/curve.ts";
import { geometricSteps } from "#model/numbers/evenSteps.ts";

/** What a separator was fed and what it gave, as undersize curves by volume. */
export interface Streams {
  readonly feed: Curve;
  readonly fines: Curve;
  readonly coarse: Curve;
  /** Fine mass over feed mass as weighed; null where it was not, and then the curves give it. */
  readonly fineYield: number | null;
}

/** The three streams made to agree. */
export interface Reconciled {
  readonly edgesUm: readonly number[];
  readonly feed: readonly number[];
  readonly fines: readonly number[];
  readonly coarse: readonly number[];
  readonly fineYield: number;
  /** What the curves alone say of the fine yield, beside the one weighed. */
  readonly fineYieldOfCurves: number;
  /** Gap of the balance as measured, percentage points of a class: typical and largest. */
  readonly closureRmsPoints: number;
  readonly closureMaxPoints: number;
  /** Share of each class thrown back; null where the feed holds next to nothing of it. */
  readonly thrownBack: readonly (number | null)[];
}

const classes = 48;
/** Below this a class of the feed says nothing of its parting. */
const leastShare = 0.0005;
const rounds = 60;

/**
 * Class shares that satisfy feed = ν·fines + (1 − ν)·coarse in every class, as near as can be to those measured. Each
 * class is moved in proportion to how much it holds; a yield that was weighed is kept, else the curves' own is taken.
 *
 * @returns null where fines and coarse are one powder, so that no yield can be told
 * Source: ISO 9276-4 (balance and grade efficiency); least squares with weights 1/(share + 0.0005) of ours.
 * Accuracy: streams that agree already come back within 1e-9.
 */
export function reconcile({ feed, fines, coarse, fineYield }: Streams): Reconciled | null {
  const ends = [feed, fines, coarse].flatMap((c) => [c.edgesUm[0] ?? 1, c.edgesUm.at(-1) ?? 1]);
  const edgesUm = geometricSteps(Math.min(...ends), Math.max(...ends), classes + 1);
  const sharesOf = (curve: Curve) =>
    edgesUm.slice(1).map((upper, i) => undersizeAt(curve, upper) - undersizeAt(curve, edgesUm[i] ?? 0));
  const measured = { feed: sharesOf(feed), fines: sharesOf(fines), coarse: sharesOf(coarse) };
  const ofCurves = yieldOf(measured);
  if (ofCurves === null) return null;
  const nu = fineYield ?? ofCurves;
  const gaps = gapsOf(measured, nu);
  let now: StreamShares = measured;
  for (let round = 0; round < rounds; round++) now = moved(now, nu);
  return {
    edgesUm,
    ...now,
    fineYield: nu,
    fineYieldOfCurves: ofCurves,
    closureRmsPoints: 100 * Math.sqrt(gaps.reduce((sum, g) => sum + g * g, 0) / gaps.length),
    closureMaxPoints: 100 * Math.max(...gaps.map(Math.abs)),
    thrownBack: now.feed.map((f, i) =>
      f < leastShare ? null : Math.min(Math.max(((1 - nu) * (now.coarse[i] ?? 0)) / f, 0), 1),
    ),
  };
}

interface StreamShares {
  readonly feed: readonly number[];
  readonly fines: readonly number[];
  readonly coarse: readonly number[];
}

/** ν that closes the balance best: Σw(f − c)(a − c) / Σw(a − c)². */
function yieldOf({ feed, fines, coarse }: StreamShares): number | null {
  let above = 0;
  let below = 0;
  for (const [i, f] of feed.entries()) {
    const a = fines[i] ?? 0;
    const c = coarse[i] ?? 0;
    const weight = 1 / (f + leastShare);
    above += weight * (f - c) * (a - c);
    below += weight * (a - c) ** 2;
  }
  return below < 1e-9 ? null : Math.min(Math.max(above / below, 0), 1);
}

function gapsOf({ feed, fines, coarse }: StreamShares, nu: number): number[] {
  return feed.map((f, i) => f - nu * (fines[i] ?? 0) - (1 - nu) * (coarse[i] ?? 0));
}

/** One round: every class takes its gap by the variances, then each stream is brought back to 1. */
function moved(now: StreamShares, nu: number): StreamShares {
  const gaps = gapsOf(now, nu);
  const variance = (v: number) => v + leastShare;
  const next = {
    feed: [...now.feed],
    fines: [...now.fines],
    coarse: [...now.coarse],
  };
  for (const [i, gap] of gaps.entries()) {
    const f = now.feed[i] ?? 0;
    const a = now.fines[i] ?? 0;
    const c = now.coarse[i] ?? 0;
    const whole = variance(f) + nu ** 2 * variance(a) + (1 - nu) ** 2 * variance(c);
    const part = gap / whole;
    next.feed[i] = Math.max(0, f - part * variance(f));
    next.fines[i] = Math.max(0, a + part * nu * variance(a));
    next.coarse[i] = Math.max(0, c + part * (1 - nu) * variance(c));
  }
  return { feed: toOne(next.feed), fines: toOne(next.fines), coarse: toOne(next.coarse) };
}

function toOne(shares: readonly number[]): number[] {
  const sum = shares.reduce((a, b) => a + b, 0);
  return shares.map((v) => v / sum);
}
