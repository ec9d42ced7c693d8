import { type Curve, undersizeAt, unionOfEdges } from "./curve.ts";
import { itemAt } from "./lists.ts";

/** How far apart two undersize curves lie. */
export interface Distances {
  /** Largest vertical gap, percentage points. */
  readonly maxGapPoints: number;
  /** Where that gap is. */
  readonly atUm: number;
  /** Mean horizontal gap in ln x: W1 = ∫|F − G| d ln x. */
  readonly wassersteinLn: number;
  /** Mean ln x of the second less that of the first: ∫(F − G) d ln x. */
  readonly meanLnShift: number;
  /** ∫ min(f, g) d ln x of the two log densities. */
  readonly overlap: number;
}

/**
 * The distances between two curves, exact where both rise straight in ln x between their edges.
 * A distribution is fractions, not counts: no p-value belongs to them.
 * Source: Kolmogorov and Wasserstein-1 distances and the overlap of two densities (statistics); docs/science.md.
 */
export function distances(a: Curve, b: Curve): Distances {
  const edges = unionOfEdges([a, b]);
  let maxGap = 0;
  let atUm = itemAt(edges, 0);
  let wassersteinLn = 0;
  let meanLnShift = 0;
  let overlap = Math.min(itemAt(a.undersize, 0), itemAt(b.undersize, 0));
  let previous: { x: number; qa: number; qb: number } | null = null;
  for (const x of edges) {
    const now = { x, qa: undersizeAt(a, x), qb: undersizeAt(b, x) };
    const gap = now.qa - now.qb;
    if (Math.abs(gap) > Math.abs(maxGap)) {
      maxGap = gap;
      atUm = x;
    }
    if (previous !== null) {
      const width = Math.log(x / previous.x);
      const before = previous.qa - previous.qb;
      meanLnShift += (width * (before + gap)) / 2;
      wassersteinLn += width * meanAbsolute(before, gap);
      overlap += Math.min(now.qa - previous.qa, now.qb - previous.qb);
    }
    previous = now;
  }
  overlap += Math.min(1 - itemAt(a.undersize, -1), 1 - itemAt(b.undersize, -1));
  return { maxGapPoints: 100 * Math.abs(maxGap), atUm, wassersteinLn, meanLnShift, overlap };
}

/** The mean of |y| along a straight line from u to v. */
function meanAbsolute(u: number, v: number): number {
  if (u * v >= 0) return Math.abs(u + v) / 2;
  return (u * u + v * v) / (2 * (Math.abs(u) + Math.abs(v)));
}
