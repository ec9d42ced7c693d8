import { type Curve, undersizeAt } from "#distributions/curve.ts";
import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { itemAt, maxOf, neighbours } from "#distributions/lists.ts";
import { type Bent, logConcaveShares } from "./kernels/logConcave.ts";

/** A second part, or a long tail, that makes no hump of its own. */
export interface Shoulder {
  readonly side: "fine" | "coarse";
  /** Where the powder holds most more than one part of its own shape would. */
  readonly atUm: number;
}

/** Fewer runs show no scatter to hold a shoulder against. */
export const minRunsForShoulder = 3;

const redraws = 49;

/** A share of the powder below which a gap is rounding, and no shoulder worth a word. A judgement of ours. */
const leastGap = 2e-4;

/** Classes narrower than this in ln x are taken together: nothing that narrow is a shoulder. */
const leastWidth = 0.1;

/**
 * A shoulder, where the runs' mean is not log-concave in ln x below half its height: the log-concave fit misses it there by
 * more than it misses any of 49 redraws of itself with the runs' own deviations, and so it does with each run left out.
 *
 * Log-normal, Rosin–Rammler and log-logistic powders, all of them cut off, and flat tops are log-concave; a mixture of two
 * log-normals of one width is not once their medians lie more than two widths apart.
 *
 * @param runs  of one powder, by volume
 * @returns     null with fewer than three runs, or where there is none
 * Source: ours, simulated (docs/validation.md); docs/science.md.
 */
export function shoulderOf(runs: readonly Curve[]): Shoulder | null {
  if (runs.length < minRunsForShoulder) return null;
  const classes = classesOf(runs);
  const shares = runs.map((run) => sharesIn(run, classes));
  const found = missOf(meanOver(shares), classes, null);
  if (found === null || found.gap < leastGap) return null;
  const without = runs.map((_, out) =>
    missOf(meanOver(shares.filter((__, i) => i !== out)), classes, found.bent),
  );
  if (without.some((miss) => miss?.side !== found.side)) return null;
  // A mean of one run fewer scatters more, and may miss by so much less.
  const fewer = runs.length / (runs.length - 1);
  const least = Math.min(found.squares, ...without.map((miss) => fewer * (miss?.squares ?? 0)));
  return standsOut(shares, classes, { ...found, squares: least })
    ? { side: found.side, atUm: found.atUm }
    : null;
}

/** Edges, rising; widths and middles in ln x. */
interface Classes {
  readonly edgesUm: readonly number[];
  readonly widths: readonly number[];
  readonly at: readonly number[];
}

/** The classes of the run that has fewest, narrow ones together, where any run holds powder. */
function classesOf(runs: readonly Curve[]): Classes {
  const [coarsest] = [...runs].sort((a, b) => a.edgesUm.length - b.edgesUm.length);
  const filled = (coarsest?.edgesUm ?? []).filter((x, i, all) =>
    runs.some((run) => {
      const before = undersizeAt(run, all[i - 1] ?? x);
      const after = undersizeAt(run, all[i + 1] ?? x);
      return after > before + leastShare;
    }),
  );
  const edgesUm: number[] = [];
  for (const x of filled) {
    const last = edgesUm.at(-1);
    if (last === undefined || Math.log(x / last) >= leastWidth) edgesUm.push(x);
  }
  const sides = neighbours(edgesUm);
  return {
    edgesUm,
    widths: sides.map(([from, to]) => Math.log(to / from)),
    at: sides.map(([from, to]) => Math.log(from * to) / 2),
  };
}

const leastShare = 1e-5;

function sharesIn(run: Curve, { edgesUm }: Classes): number[] {
  return neighbours(edgesUm.map((x) => undersizeAt(run, x))).map(([from, to]) => to - from);
}

function meanOver(runs: readonly (readonly number[])[]): number[] {
  return itemAt(runs, 0).map((_, i) => runs.reduce((sum, run) => sum + itemAt(run, i), 0) / runs.length);
}

interface Miss extends Shoulder {
  /** Of the two undersize curves where the fit is below half its height: the largest gap, and ∫ gap² d ln x. */
  readonly gap: number;
  readonly squares: number;
  readonly fit: readonly number[];
  readonly bent: Bent;
}

/** How far the log-concave fit misses shares below half its height; null where too few classes are filled. */
function missOf(shares: readonly number[], { at, widths }: Classes, start: Bent | null): Miss | null {
  if (shares.filter((share) => share > 0).length < 5) return null;
  const { shares: fit, bent } = logConcaveShares(at, widths, shares, start);
  const heights = fit.map((share, i) => share / itemAt(widths, i));
  const top = heights.indexOf(maxOf(heights));
  const half = itemAt(heights, top) / 2;
  const isLow = (i: number) => itemAt(heights, i) < half && (heights[i + 1] ?? 0) < half;
  let under = 0;
  let gap = 0;
  let squares = 0;
  let where = top;
  for (const [i, share] of shares.entries()) {
    under += share - itemAt(fit, i);
    if (isLow(i)) squares += itemAt(widths, i) * under ** 2;
    if (isLow(i) && Math.abs(under) > gap) {
      gap = Math.abs(under);
      where = i;
    }
  }
  const side = where < top ? "fine" : "coarse";
  return {
    gap,
    squares,
    fit,
    bent,
    side,
    atUm: Math.exp(
      itemAt(
        at,
        mostOver(shares, fit, (i) => isLow(i) && (side === "fine" ? i < top : i > top)),
      ),
    ),
  };
}

/** Where a curve lies most above its fit, in proportion to it, among some of its classes. */
function mostOver(
  shares: readonly number[],
  fit: readonly number[],
  isAmong: (i: number) => boolean,
): number {
  // The square root weighs a share between what it adds and how much more it is than expected.
  const over = shares.map((share, i) =>
    isAmong(i) && share > 0 ? (share - itemAt(fit, i)) / Math.sqrt(share) : Number.NEGATIVE_INFINITY,
  );
  return over.indexOf(maxOf(over));
}

/** Whether no redraw of the fit with the runs' own deviations is missed by as much. */
function standsOut(
  runs: readonly (readonly number[])[],
  classes: Classes,
  { squares, fit, bent }: Miss,
): boolean {
  const mean = meanOver(runs);
  const scale = 1 / Math.sqrt(runs.length * (runs.length - 1));
  for (let draw = 0; draw < redraws; draw++) {
    const weights = runs.map((_, k) =>
      normalDeviate(((draw + 0.5) * itemAt(steps, k % steps.length)) % 1 || 0.5),
    );
    const drawn = fit.map((share, i) => {
      const away = runs.reduce(
        (sum, run, k) => sum + itemAt(weights, k) * (itemAt(run, i) - itemAt(mean, i)),
        0,
      );
      return Math.max(0, share + scale * away);
    });
    const missed = missOf(drawn, classes, bent);
    if (missed !== null && missed.squares >= squares) return false;
  }
  return true;
}

/** Fractions of square roots of primes, for draws that are always the same (Richtmyer). */
const steps = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37].map((p) => Math.sqrt(p) % 1);
