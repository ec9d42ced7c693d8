import { bisected } from "../bisection.ts";
import { DomainError } from "../domainError.ts";
import { itemAt, maxOf, minOf } from "../lists.ts";
import { inside } from "./checks.ts";
import type { Family, FreeForm } from "./family.ts";
import { type LogNormal, logNormal, logNormalMoment } from "./logNormal.ts";
import { normalForm } from "./normalForm.ts";

export interface MixtureComponent extends LogNormal {
  /** Share of the whole. */
  readonly weight: number;
}

/** Two or three log-normals, sorted by median; the weights add to 1. */
export interface Mixture {
  readonly components: readonly MixtureComponent[];
}

const weightTolerance = 1e-9;

/**
 * Several log-normals side by side: a hump of agglomerates, a tail of abrasion fines.
 * Domain: weights above 0 that add to 1. Accuracy: quantiles by bisection to the last bits.
 * Source: moments add by weight within a quantity (ISO 9276-5 for each component).
 */
export const mixture: Family<Mixture> = {
  name: "mixture",
  cdf: (p, sizeUm) => sumOver(p, (c) => logNormal.cdf(c, sizeUm)),
  oversize: (p, sizeUm) => sumOver(p, (c) => logNormal.oversize(c, sizeUm)),
  quantile: (p, fraction) =>
    solveBetween(
      p.components.map((c) => logNormal.quantile(c, inside(fraction))),
      (x) => mixture.cdf(p, x) - fraction,
    ),
  quantileOfOversize: (p, fraction) =>
    solveBetween(
      p.components.map((c) => logNormal.quantileOfOversize(c, inside(fraction))),
      (x) => fraction - mixture.oversize(p, x),
    ),
  pdfPerLn: (p, sizeUm) => sumOver(p, (c) => logNormal.pdfPerLn(c, sizeUm)),
  moment: (p, k) => sumOver(p, (c) => logNormalMoment(c, k)),
  free: freeForm(),
};

function sumOver(p: Mixture, of: (component: MixtureComponent) => number): number {
  const whole = p.components.reduce((sum, c) => sum + c.weight, 0);
  if (!(Math.abs(whole - 1) <= weightTolerance)) throw new DomainError("weights", "must add to 1", whole);
  return p.components.reduce((sum, c) => sum + c.weight * of(c), 0);
}

/** The mixture's quantile lies between those of its components. */
function solveBetween(ends: readonly number[], rising: (x: number) => number): number {
  const lns = ends.map(Math.log);
  return Math.exp(bisected(minOf(lns), maxOf(lns), 0, (ln) => rising(Math.exp(ln)) < 0));
}

/** Coordinates of one component: ln of its weight relative to the first, ln median, ln σ. The first has no weight of its own. */
function freeForm(): FreeForm<Mixture> {
  const parts = (free: readonly number[]) => {
    const count = (free.length + 1) / 3;
    const raw = Array.from({ length: count }, (_, i) =>
      i === 0 ? 1 : Math.exp(itemAt(free, 2 * count + i - 1)),
    );
    const whole = raw.reduce((a, b) => a + b, 0);
    return raw.map((r, i) => ({
      weight: r / whole,
      location: itemAt(free, 2 * i),
      sigma: Math.exp(itemAt(free, 2 * i + 1)),
    }));
  };
  return {
    toFree: ({ components }) => [
      ...components.flatMap((c) => [Math.log(c.medianUm), Math.log(Math.log(c.gsd))]),
      ...components.slice(1).map((c) => Math.log(c.weight / itemAt(components, 0).weight)),
    ],
    fromFree: (free) => ({
      components: parts(free)
        .map((c) => ({ weight: c.weight, medianUm: Math.exp(c.location), gsd: Math.exp(c.sigma) }))
        .sort((a, b) => a.medianUm - b.medianUm),
    }),
    undersize: (free) => {
      const all = parts(free);
      return (lnUm) => {
        let sum = 0;
        for (const c of all) sum += c.weight * normalForm.undersize((lnUm - c.location) / c.sigma);
        return sum;
      };
    },
    slopes: (free) => {
      const all = parts(free);
      const count = all.length;
      return (lnUm) => {
        const slopes = new Array<number>(3 * count - 1).fill(0);
        const undersizes: number[] = [];
        let whole = 0;
        for (const [i, { weight, location, sigma }] of all.entries()) {
          const u = (lnUm - location) / sigma;
          const undersize = normalForm.undersize(u);
          const slope = weight * normalForm.slope(u);
          slopes[2 * i] = -slope / sigma;
          slopes[2 * i + 1] = -slope * u;
          undersizes.push(undersize);
          whole += weight * undersize;
        }
        for (let i = 1; i < count; i++)
          slopes[2 * count + i - 1] = itemAt(all, i).weight * (itemAt(undersizes, i) - whole);
        return slopes;
      };
    },
    parameterSlopes: (free) => {
      const all = parts(free);
      const count = all.length;
      const zero = free.map(() => 0);
      const rising = [...all.entries()].sort(([, a], [, b]) => a.location - b.location);
      return rising.flatMap(([i, c]) => {
        const ofWeight = zero.map((_, k) => {
          const j = k - 2 * count + 1;
          if (j < 1) return 0;
          return c.weight * ((i === j ? 1 : 0) - itemAt(all, j).weight);
        });
        const ofMedian = zero.map((_, k) => (k === 2 * i ? Math.exp(c.location) : 0));
        const ofGsd = zero.map((_, k) => (k === 2 * i + 1 ? Math.exp(c.sigma) * c.sigma : 0));
        return [ofWeight, ofMedian, ofGsd];
      });
    },
  };
}
