import { curveOf, sizeAt } from "#distributions/curve.ts";
import type { Family, FamilyName, FittedCurve } from "#distributions/families/family.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import type { NamedMeasurement, Quantity } from "#distributions/measured.ts";
import { type CurveModel, type FitStatus, leastSquares } from "./leastSquares.ts";

/** Measured less fitted, at one edge. */
export interface Residual {
  readonly sizeUm: number;
  readonly points: number;
}

export type FamilyFit = FittedCurve & {
  readonly file: string | null;
  readonly name: string;
  readonly quantity: Quantity;
  /** Numerical, from the curvature: residuals of one curve are correlated, so these are no confidence. */
  readonly standardErrors: Readonly<Record<string, number | null>>;
  readonly standardErrorBasis: "curvature";
  readonly status: FitStatus;
  /** 100·√(SSE/N), N the edges where 0 < Q < 1. */
  readonly rmsPoints: number;
  readonly maxGapPoints: number;
  /** Ranks only; null where there are too few edges to rank. */
  readonly aicc: number | null;
  /** How many edges were fitted. */
  readonly edges: number;
  readonly residuals: readonly Residual[];
};

/** A fit needs more edges than parameters. */
export const fewestEdges = 3;

/** From the last edge with nothing below it to the first with everything below it: empty classes at the ends change nothing. */
export function fittedEdges(one: NamedMeasurement): {
  readonly sizesUm: readonly number[];
  readonly undersize: readonly number[];
} {
  const { edgesUm, undersize } = curveOf(one.distribution);
  let first = 0;
  while (first + 1 < undersize.length && (undersize[first + 1] ?? 1) <= 0) first++;
  let last = undersize.length - 1;
  while (last - 1 > first && (undersize[last - 1] ?? 0) >= 1 - 1e-12) last--;
  return { sizesUm: edgesUm.slice(first, last + 1), undersize: undersize.slice(first, last + 1) };
}

/**
 * Unweighted least squares of Q at the edges, in the measurement's own quantity.
 *
 * @returns null where fewer than three edges or no spread of sizes leave nothing to fit
 * Source: ISO 9276-3; MODEL §4.
 */
export function fitFamily(one: NamedMeasurement, family: FamilyName): FamilyFit | null {
  const edges = fittedEdges(one);
  if (edges.sizesUm.length < fewestEdges) return null;
  const start = startOf(one);
  if (start === null) return null;
  return family === "log-normal"
    ? fitOne(one, logNormal, edges, start, (p, errors) => ({
        family: "log-normal",
        parameters: { medianUm: p.medianUm, gsd: p.gsd },
        // d gsd = gsd · ln gsd · d ln σ
        standardErrors: {
          medianUm: times(errors[0], p.medianUm),
          gsd: times(errors[1], p.gsd * Math.log(p.gsd)),
        },
      }))
    : fitOne(one, rosinRammler, edges, start, (p, errors) => ({
        family: "rosin-rammler",
        parameters: { characteristicUm: p.characteristicUm, spreadExponent: p.spreadExponent },
        standardErrors: {
          characteristicUm: times(errors[0], p.characteristicUm),
          spreadExponent: times(errors[1], p.spreadExponent),
        },
      }));
}

type Stated = FittedCurve & { readonly standardErrors: Readonly<Record<string, number | null>> };
type Errors = readonly [number | null, number | null];

function fitOne<P>(
  one: NamedMeasurement,
  family: Family<P>,
  edges: { readonly sizesUm: readonly number[]; readonly undersize: readonly number[] },
  start: { readonly d50Um: number; readonly widthLn: number },
  state: (parameters: P, standardErrors: Errors) => Stated,
): FamilyFit {
  const xs = edges.sizesUm.map(Math.log);
  const model = standardModel(family);
  const [location, lnScale] = family.toStandard(family.start(start.d50Um, start.widthLn));
  const from = Math.min(...xs);
  const to = Math.max(...xs);
  const found = leastSquares(model, xs, edges.undersize, [location, lnScale], {
    lowest: [from - 20, -9],
    highest: [to + 20, 4],
  });
  const [bestLocation = location, bestLnScale = lnScale] = found.parameters;
  const n = xs.length;
  const residuals = xs.map((x, i) => ({
    sizeUm: edges.sizesUm[i] ?? 0,
    points: 100 * ((edges.undersize[i] ?? 0) - model.value(found.parameters, x)),
  }));
  const inside = edges.undersize.filter((q) => q > 0 && q < 1).length;
  return {
    file: one.file,
    name: one.name,
    quantity: one.distribution.quantity,
    ...state(family.fromStandard(bestLocation, bestLnScale), [
      errorOf(found.covariance?.[0]?.[0]),
      errorOf(found.covariance?.[1]?.[1]),
    ]),
    standardErrorBasis: "curvature",
    status: found.status,
    rmsPoints: 100 * Math.sqrt(found.sumOfSquares / Math.max(inside, 1)),
    maxGapPoints: Math.max(...residuals.map((r) => Math.abs(r.points))),
    aicc: aiccOf(found.sumOfSquares, inside, 3),
    edges: n,
    residuals,
  };
}

/** Q = F((ln x − location)/scale), parameters location and ln scale. */
function standardModel<P>(family: Family<P>): CurveModel {
  const { form } = family;
  const at = ([location = 0, lnScale = 0]: readonly number[], x: number) =>
    (x - location) / Math.exp(lnScale);
  return {
    value: (p, x) => form.undersize(at(p, x)),
    slopes: (p, x) => {
      const u = at(p, x);
      const slope = form.slope(u);
      return [-slope / Math.exp(p[1] ?? 0), -slope * u];
    },
  };
}

function startOf(one: NamedMeasurement): { d50Um: number; widthLn: number } | null {
  const curve = curveOf(one.distribution);
  const lowest = curve.undersize[0] ?? 0;
  const highest = curve.undersize.at(-1) ?? 1;
  const at = (fraction: number) => sizeAt(curve, lowest + fraction * (highest - lowest));
  const d16 = at(0.16);
  const d50Um = at(0.5);
  const d84 = at(0.84);
  if (d16 === null || d50Um === null || d84 === null || !(d84 > d16)) return null;
  return { d50Um, widthLn: Math.log(d84 / d16) };
}

/** N ln(SSE/N) + 2k + 2k(k+1)/(N−k−1); k counts the variance too. */
function aiccOf(sumOfSquares: number, n: number, k: number): number | null {
  if (n <= k + 1 || !(sumOfSquares > 0)) return null;
  return n * Math.log(sumOfSquares / n) + 2 * k + (2 * k * (k + 1)) / (n - k - 1);
}

function errorOf(variance: number | undefined): number | null {
  return variance === undefined || !(variance >= 0) ? null : Math.sqrt(variance);
}

function times(error: number | null | undefined, factor: number): number | null {
  return error === null || error === undefined ? null : error * factor;
}
