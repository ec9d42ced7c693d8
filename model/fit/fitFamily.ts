import { curveOf } from "#distributions/curve.ts";
import { DomainError } from "#distributions/domainError.ts";
import { type Family, type FamilyName, familyNames } from "#distributions/families/family.ts";
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
import { largest, logarithms, misfits } from "./kernels/residuals.ts";
import { noiseOfOneRunPoints } from "./noise.ts";
import { solveSlid, solveUpperLimit, solveWithCorner } from "./solveFamily.ts";
import { solveMixture } from "./solveMixture.ts";
import { mixtureStarts, shapeOf } from "./startShape.ts";

/** Measured less fitted, at one edge (or of the class that ends there). */
export interface Residual {
  readonly sizeUm: number;
  readonly points: number;
}

/** A fit without what it leaves at each edge. */
export type FitSummary = FittedCurve & {
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
  readonly warnings: readonly string[];
};

export type FamilyFit = FitSummary & { readonly residuals: readonly Residual[] };

export interface FitOptions {
  readonly points?: PointSet;
  /** Of a mixture; 2 when left out. */
  readonly components?: 2 | 3;
  /** Rms of Q between runs: two floors of a misfit that differ by less fit alike. That of one run when left out. */
  readonly noisePoints?: number;
}

/** A fit needs more edges than parameters. */
export function minEdges(family: FamilyName, components: 2 | 3 = 2): number {
  return freeCount(family, components) + 1;
}

function freeCount(family: FamilyName, components: 2 | 3): number {
  if (family === "mixture") return 3 * components - 1;
  return family === "upper-limit-log-normal" ? 3 : 2;
}

/** A fit as it was found, with what it was fitted to. */
interface Solved {
  readonly curve: FittedCurve;
  readonly points: FitPoints;
  readonly found: LeastSquares;
  /** Measured less fitted at each point, in shares. */
  readonly gaps: readonly number[];
  /** The slope of each stated parameter by each coordinate. */
  readonly parameterSlopes: readonly (readonly number[])[];
}

/**
 * Unweighted least squares of Q at the edges, in the measurement's own quantity.
 *
 * @returns null where too few edges or no spread of sizes leave nothing to fit
 * @throws  DomainError  there is no such family
 * Source: ISO 9276-3; docs/science.md.
 */
export function fitFamily(
  one: NamedMeasurement,
  family: FamilyName,
  options: FitOptions = {},
): FamilyFit | null {
  const solved = solvedFor(one, family, options);
  if (solved === null) return null;
  const { said, warnings } = saidOf(one, solved);
  return Object.assign({}, solved.curve, said, { residuals: residualsOf(solved), warnings });
}

/** The same without its residuals, for those who fit many. */
export function fitSummary(
  one: NamedMeasurement,
  family: FamilyName,
  options: FitOptions = {},
): FitSummary | null {
  const solved = solvedFor(one, family, options);
  if (solved === null) return null;
  const { said, warnings } = saidOf(one, solved);
  return Object.assign({}, solved.curve, said, { warnings });
}

function solvedFor(
  one: NamedMeasurement,
  family: FamilyName,
  { points: set = "edges", components = 2, noisePoints = noiseOfOneRunPoints }: FitOptions,
): Solved | null {
  if (!familyNames.includes(family))
    throw new DomainError("family", `must be one of ${familyNames.join(", ")}`, family);
  const curve = curveOf(one.distribution);
  const points = fitPoints(one.distribution, set, curve);
  if (points.sizesUm.length < minEdges(family, components)) return null;
  const shape = shapeOf(curve);
  if (shape === null) return null;
  switch (family) {
    case "log-normal":
      return solvedOf(points, solveSlid(logNormal, points, shape), logNormal, (parameters) => ({
        family,
        parameters,
      }));
    case "rosin-rammler":
      return solvedOf(points, solveSlid(rosinRammler, points, shape), rosinRammler, (parameters) => ({
        family,
        parameters,
      }));
    case "log-logistic":
      return solvedOf(points, solveSlid(logLogistic, points, shape), logLogistic, (parameters) => ({
        family,
        parameters,
      }));
    case "gates-gaudin-schuhmann": {
      const found = solveWithCorner(gatesGaudinSchuhmann, points, shape);
      return solvedOf(points, found, gatesGaudinSchuhmann, (parameters) => ({ family, parameters }));
    }
    case "upper-limit-log-normal": {
      const found = solveUpperLimit(upperLimitLogNormal, points, shape);
      return solvedOf(points, found, upperLimitLogNormal, (parameters) => ({ family, parameters }));
    }
    case "mixture": {
      const found = solveMixture(mixture.free, points, {
        starts: mixtureStarts(curve, components),
        shape,
        noisePoints,
      });
      return solvedOf(points, found, mixture, (parameters) => ({ family, parameters }));
    }
  }
}

function solvedOf<P>(
  points: FitPoints,
  found: LeastSquares,
  { free }: Family<P>,
  state: (parameters: P) => FittedCurve,
): Solved {
  const lnFrom = points.fromUm === null ? null : logarithms(points.fromUm);
  return {
    curve: state(free.fromFree(found.parameters)),
    points,
    found,
    gaps: misfits(free.undersize(found.parameters), points.shares, points.lnSizes, lnFrom),
    parameterSlopes: free.parameterSlopes(found.parameters),
  };
}

function residualsOf({ points, gaps }: Solved): Residual[] {
  return points.sizesUm.map((sizeUm, i) => ({ sizeUm, points: 100 * itemAt(gaps, i) }));
}

/** What is said of a fit beside its curve, apart from it: adding to a spread object is slow, assigning to an empty one is not. */
function saidOf(one: NamedMeasurement, { curve, points, found, gaps, parameterSlopes }: Solved) {
  const standardErrors = Object.fromEntries(
    parametersOf(curve).map(({ name }, i) => [name, errorOf(parameterSlopes[i] ?? [], found.covariance)]),
  );
  const aicc = aiccOf(found.sumOfSquares, points.telling, found.parameters.length + 1);
  const said = {
    file: one.file,
    name: one.name,
    quantity: one.distribution.quantity,
    standardErrors,
    standardErrorBasis: "curvature" as const,
    status: found.status,
    rmsPoints: 100 * Math.sqrt(found.sumOfSquares / Math.max(points.telling, 1)),
    maxGapPoints: 100 * largest(gaps),
    aicc,
    edges: points.sizesUm.length,
  };
  return { said, warnings: warningsOf(found, aicc) };
}

function warningsOf(found: LeastSquares, aicc: number | null): string[] {
  const warnings: string[] = [];
  if (found.status === "at bound")
    warnings.push(
      "A parameter is at the end of its range: the data do not determine it, so it has no standard error.",
    );
  else if (found.status === "several floors")
    warnings.push(
      "There are several floors: other parts, or one part alone, fit as well within the noise, so the curve is usable and its parts are not determined.",
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
