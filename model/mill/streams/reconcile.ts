import { type Curve, undersizeAt } from "#distributions/curve.ts";
import { itemAt, maxOf, minOf, neighbours, zip } from "#distributions/lists.ts";
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
export function reconcile(streams: Streams): Reconciled | null {
  return reconcileClasses(inClasses(streams), streams.fineYield);
}

/** The same of streams that are in classes already. */
export function reconcileClasses(
  { edgesUm, measured }: StreamClasses,
  fineYield: number | null,
): Reconciled | null {
  const ofCurves = yieldOf(measured);
  if (ofCurves === null) return null;
  const nu = fineYield ?? ofCurves;
  const gaps = measured.map((one) => gapOf(one, nu));
  let now: readonly ClassInStreams[] = measured;
  for (let round = 0; round < rounds; round++) now = moved(now, nu);
  return {
    edgesUm,
    feed: now.map((one) => one.feed),
    fines: now.map((one) => one.fines),
    coarse: now.map((one) => one.coarse),
    fineYield: nu,
    fineYieldOfCurves: ofCurves,
    closureRmsPoints: 100 * Math.sqrt(gaps.reduce((sum, g) => sum + g * g, 0) / gaps.length),
    closureMaxPoints: 100 * maxOf(gaps.map(Math.abs)),
    thrownBack: now.map((one) =>
      one.feed < leastShare ? null : Math.min(Math.max(((1 - nu) * one.coarse) / one.feed, 0), 1),
    ),
  };
}

/** The class whose mass balance closes worst at a fine yield. */
export function worstClass(
  streams: Omit<Streams, "fineYield">,
  fineYield: number,
): readonly [number, number] {
  const { edgesUm, measured } = inClasses(streams);
  const gaps = measured.map((one) => Math.abs(gapOf(one, fineYield)));
  const at = gaps.indexOf(maxOf(gaps));
  return [itemAt(edgesUm, at), itemAt(edgesUm, at + 1)];
}

/** The streams as measured, in classes that all three share. */
export function inClasses({ feed, fines, coarse }: Omit<Streams, "fineYield">) {
  const ends = [feed, fines, coarse].flatMap((c) => [itemAt(c.edgesUm, 0), itemAt(c.edgesUm, -1)]);
  const edgesUm = geometricSteps(minOf(ends), maxOf(ends), classes + 1);
  const sharesOf = (curve: Curve) =>
    neighbours(edgesUm).map(([lower, upper]) => undersizeAt(curve, upper) - undersizeAt(curve, lower));
  const measured = zip(zip(sharesOf(feed), sharesOf(fines)), sharesOf(coarse)).map(
    ([[f, a], c]): ClassInStreams => ({ feed: f, fines: a, coarse: c }),
  );
  return { edgesUm, measured };
}

/** Streams as measured, in classes that all share. */
export interface StreamClasses {
  readonly edgesUm: readonly number[];
  readonly measured: readonly ClassInStreams[];
}

/** What each stream holds of one class. */
export interface ClassInStreams {
  readonly feed: number;
  readonly fines: number;
  readonly coarse: number;
}

/** ν that closes the balance best: Σw(f − c)(a − c) / Σw(a − c)². */
function yieldOf(classes: readonly ClassInStreams[]): number | null {
  let above = 0;
  let below = 0;
  for (const { feed, fines, coarse } of classes) {
    const weight = 1 / (feed + leastShare);
    above += weight * (feed - coarse) * (fines - coarse);
    below += weight * (fines - coarse) ** 2;
  }
  return below < 1e-9 ? null : Math.min(Math.max(above / below, 0), 1);
}

function gapOf({ feed, fines, coarse }: ClassInStreams, nu: number): number {
  return feed - nu * fines - (1 - nu) * coarse;
}

/** How much a share may be off, up to a factor: its own size, and a little. */
export function varianceOf(share: number): number {
  return Math.max(share, 0) + leastShare;
}

/** One round: every class takes its gap by the variances, then each stream is brought back to 1. */
function moved(classes: readonly ClassInStreams[], nu: number): readonly ClassInStreams[] {
  const next = classes.map((one) => {
    const { feed, fines, coarse } = one;
    const whole = varianceOf(feed) + nu ** 2 * varianceOf(fines) + (1 - nu) ** 2 * varianceOf(coarse);
    const part = gapOf(one, nu) / whole;
    return {
      feed: Math.max(0, feed - part * varianceOf(feed)),
      fines: Math.max(0, fines + part * nu * varianceOf(fines)),
      coarse: Math.max(0, coarse + part * (1 - nu) * varianceOf(coarse)),
    };
  });
  const sumOf = (stream: keyof ClassInStreams) => next.reduce((sum, one) => sum + one[stream], 0);
  const sums = { feed: sumOf("feed"), fines: sumOf("fines"), coarse: sumOf("coarse") };
  return next.map(({ feed, fines, coarse }) => ({
    feed: feed / sums.feed,
    fines: fines / sums.fines,
    coarse: coarse / sums.coarse,
  }));
}
