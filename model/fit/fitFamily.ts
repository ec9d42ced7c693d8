import { curveOf } from "#distributions/curve.ts";
import type { Family, FamilyName } from "#distributions/families/family.ts";
import type { FittedCurve } from "#distributions/families/fittedCurve.ts";
import { gatesGaudinSchuhmann } from "#distributions/families/gatesGaudinSchuhmann.ts";
import { logLogistic } from "#distributions/families/logLogistic.ts";
import { logNormal } from "#distributions/families/logNormal.ts";
import { mixture } from "#distributions/families/mixture.ts";
import { parametersOf } from "#distributions/families/parameters.ts";
import { rosinRammler } from "#distributions/families/rosinRammler.ts";
import { upperLimitLogNormal } from "#distributions/families/upperLimit.ts";
import { itemAt } from "#distributions/lists.ts";
import type { NamedMeasurement, Quantity } from "#distributions/sizeDistribution.ts";
import { quadratic } from "#model/numbers/kernels/vectors.ts";
import type { FitStatus, LeastSquares } from "./curveModel.ts";
import { type FitPoints, fitPoints, type PointSet } from "./fitPoints.ts";
import { solveMixture, solveSlid, solveUpperLimit, solveWithCorner } from "./solveFamily.ts";
import { mixtureStarts, shapeOf } from "./startShape.ts";

/** Measured less fitted, at one edge (or of the class that ends there). */
export interface Residual {
  readonly sizeUm: number;
  readonly points: number;
}

export type FamilyFit = FittedCurve & {
  readonly file: string | null;
  readonly name: string;
  readonly quantity: Quantity;
  /** By the parameter's name. Numerical, from the curvature: residuals of one curve are correlated, so these are no confidence. */
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
  readonly warnings: readonly string[];
};

export interface FitOptions {
  readonly points?: PointSet;
  /** Of a mixture; 2 when left out. */
  readonly components?: 2 | 3;
}

/** A fit needs more edges than parameters. */
export function minEdges(family: FamilyName, components: 2 | 3 = 2): number {
  return freeCount(family, components) + 1;
}

function freeCount(family: FamilyName, components: 2 | 3): number {
  if (family === "mixture") return 3 * components - 1;
  return family === "upper-limit-log-normal" ? 3 : 2;
}

/**
 * Unweighted least squares of Q at the edges, in the measurement's own quantity.
 *
 * @returns null where too few edges or no spread of sizes leave nothing to fit
 * Source: ISO 9276-3; docs/science.md.
 */
export function fitFamily(
  one: NamedMeasurement,
  family: FamilyName,
  { points: set = "edges", components = 2 }: FitOptions = {},
): FamilyFit | null {
  const points = fitPoints(one.distribution, set);
  if (points.sizesUm.length < minEdges(family, components)) return null;
  const curve = curveOf(one.distribution);
  const shape = shapeOf(curve);
  if (shape === null) return null;
  switch (family) {
    case "log-normal":
      return record(one, { points, found: solveSlid(logNormal, points, shape) }, logNormal, (parameters) => ({
        family,
        parameters,
      }));
    case "rosin-rammler":
      return record(
        one,
        { points, found: solveSlid(rosinRammler, points, shape) },
        rosinRammler,
        (parameters) => ({
          family,
          parameters,
        }),
      );
    case "log-logistic":
      return record(
        one,
        { points, found: solveSlid(logLogistic, points, shape) },
        logLogistic,
        (parameters) => ({
          family,
          parameters,
        }),
      );
    case "gates-gaudin-schuhmann": {
      const found = solveWithCorner(gatesGaudinSchuhmann, points, shape);
      return record(one, { points, found }, gatesGaudinSchuhmann, (parameters) => ({ family, parameters }));
    }
    case "upper-limit-log-normal": {
      const found = solveUpperLimit(upperLimitLogNormal, points, shape);
      return record(one, { points, found }, upperLimitLogNormal, (parameters) => ({ family, parameters }));
    }
    case "mixture": {
      const found = solveMixture(mixture.free, points, mixtureStarts(curve, components));
      return record(one, { points, found }, mixture, (parameters) => ({ family, parameters }));
    }
  }
}

function record<P>(
  one: NamedMeasurement,
  { points, found }: { readonly points: FitPoints; readonly found: LeastSquares },
  { free }: Family<P>,
  state: (parameters: P) => FittedCurve,
): FamilyFit {
  const stated = state(free.fromFree(found.parameters));
  const undersize = free.undersize(found.parameters);
  const residuals = points.sizesUm.map((sizeUm, i) => {
    const from = points.fromUm[i] ?? null;
    const fitted = undersize(Math.log(sizeUm)) - (from === null ? 0 : undersize(Math.log(from)));
    return { sizeUm, points: 100 * (itemAt(points.shares, i) - fitted) };
  });
  const slopes = free.parameterSlopes(found.parameters);
  const standardErrors = Object.fromEntries(
    parametersOf(stated).map(({ name }, i) => [name, errorOf(slopes[i] ?? [], found.covariance)]),
  );
  const aicc = aiccOf(found.sumOfSquares, points.telling, found.parameters.length + 1);
  return {
    ...stated,
    file: one.file,
    name: one.name,
    quantity: one.distribution.quantity,
    standardErrors,
    standardErrorBasis: "curvature",
    status: found.status,
    rmsPoints: 100 * Math.sqrt(found.sumOfSquares / Math.max(points.telling, 1)),
    maxGapPoints: Math.max(...residuals.map((r) => Math.abs(r.points))),
    aicc,
    edges: points.sizesUm.length,
    residuals,
    warnings: warningsOf(found, aicc),
  };
}

function warningsOf(found: LeastSquares, aicc: number | null): string[] {
  const warnings: string[] = [];
  if (found.status === "at bound")
    warnings.push(
      "A parameter is at the end of its range: the data do not determine it, so it has no standard error.",
    );
  else if (found.status !== "converged")
    warnings.push(`The fit did not converge (${found.status}): its curve is usable, its parameters are not.`);
  else if (found.covariance === null)
    warnings.push(
      "There are no standard errors: the class edges are too few to determine the parameters separately.",
    );
  if (aicc === null) warnings.push("There is no AICc: the class edges are too few, or there is no misfit.");
  return warnings;
}

/** √(gᵀ C g): the error of a stated parameter from those of the coordinates. */
function errorOf(
  slopes: readonly number[],
  covariance: readonly (readonly number[])[] | null,
): number | null {
  if (covariance === null) return null;
  const variance = quadratic(covariance, slopes);
  return variance >= 0 && Number.isFinite(variance) ? Math.sqrt(variance) : null;
}

/** N ln(SSE/N) + 2k + 2k(k+1)/(N−k−1); k counts the variance too. Source: Hurvich and Tsai (1989), from memory. */
function aiccOf(sumOfSquares: number, n: number, k: number): number | null {
  if (n <= k + 1 || !(sumOfSquares > 0)) return null;
  return n * Math.log(sumOfSquares / n) + 2 * k + (2 * k * (k + 1)) / (n - k - 1);
}
