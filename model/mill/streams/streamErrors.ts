import { shifted } from "#distributions/curve.ts";
import { itemAt, threeOf, zip } from "#distributions/lists.ts";
import { type GradeEfficiency, gradeEfficiency } from "./gradeEfficiency.ts";
import {
  inClasses,
  type Reconciled,
  reconcile,
  reconcileClasses,
  type Streams,
  varianceOf,
} from "./reconcile.ts";

/** So many times the streams are disturbed by their own gaps. */
const replicates = 48;
/** Neighbouring classes err together: signs are drawn for so many at once. */
const classesTogether = 4;
/** How far the sizes of one measured stream repeat, in ln: a balance hardly shows it. [judgement] */
export const sizeRepeatability = 0.01;

/**
 * Standard errors of ln cut, sharpness and bypass, three parts in quadrature: the gaps of the balance (each stream disturbed
 * by its part of every class's gap, with a sign for every few neighbouring classes, made to agree and fitted again); sizes
 * of each stream that repeat to 1 %, which the balance hardly shows; and what the fitted form misses, from the curvature.
 *
 * @returns null where the fit has no curvature, or too few of the disturbed streams can be fitted
 * Source: wild bootstrap (Wu 1986, from memory) on blocks; coverage by simulation, docs/validation.md.
 */
export function streamErrors(
  streams: Streams,
  { fineYield: nu }: Reconciled,
  found: GradeEfficiency,
): GradeEfficiency["standardErrors"] {
  if (found.standardErrors === null) return null;
  const { edgesUm, measured } = inClasses(streams);
  const disturbed = Array.from({ length: replicates }, (_, replicate) => {
    const classes = measured.map((one, i) => {
      const gap = one.feed - nu * one.fines - (1 - nu) * one.coarse;
      const variances = [one.feed, one.fines, one.coarse].map(varianceOf);
      const [f, a, c] = threeOf(variances);
      const scale = gap / Math.sqrt(f + nu ** 2 * a + (1 - nu) ** 2 * c);
      const block = Math.floor(i / classesTogether);
      const moved = (share: number, stream: number) =>
        share + signOf(replicate, stream, block) * scale * Math.sqrt(varianceOf(share));
      return { feed: moved(one.feed, 0), fines: moved(one.fines, 1), coarse: moved(one.coarse, 2) };
    });
    return valuesOf(reconcileClasses({ edgesUm, measured: classes }, streams.fineYield));
  }).filter((each) => each !== null);
  const moved = (["feed", "fines", "coarse"] as const)
    .map((name) =>
      valuesOf(reconcile({ ...streams, [name]: shifted(streams[name], Math.exp(sizeRepeatability)) })),
    )
    .filter((each) => each !== null);
  if (disturbed.length < replicates / 2 || moved.length < 3) return null;
  const middle = [Math.log(found.cutUm), found.sharpness, found.bypassShare];
  return threeOf(
    zip(middle, found.standardErrors).map(([value, ofFit], k) => {
      const squares = (all: readonly (readonly number[])[]) =>
        all.reduce((sum, each) => sum + (itemAt(each, k) - value) ** 2, 0);
      return Math.sqrt(squares(disturbed) / disturbed.length + squares(moved) + ofFit ** 2);
    }),
  );
}

function valuesOf(reconciled: Reconciled | null): readonly number[] | null {
  const found = reconciled === null ? null : gradeEfficiency(reconciled);
  // A bypass of next to nothing lies at its bound, and the cut and sharpness beside it are as good.
  return found === null || (found.status !== "converged" && found.status !== "at bound")
    ? null
    : [Math.log(found.cutUm), found.sharpness, found.bypassShare];
}

/** Signs that are even over the replicates and independent between streams and blocks: bits of a hash, always the same. */
function signOf(replicate: number, stream: number, block: number): number {
  let h = Math.imul(replicate + 1, 0x9e3779b1) ^ Math.imul(3 * block + stream + 1, 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  h = Math.imul(h ^ (h >>> 12), 0x297a2d39);
  return ((h ^ (h >>> 15)) & 1) === 0 ? 1 : -1;
}
