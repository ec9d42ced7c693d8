import { mean, sampleCorrelation } from "simple-statistics";
import { DomainError } from "#distributions/domainError.ts";
import { inverseOfSquare, solveTriangle, triangles } from "#model/numbers/kernels/orthogonal.ts";
import { dot } from "#model/numbers/kernels/vectors.ts";
import { isFullRank } from "#model/numbers/qr.ts";

/** A regression of one result on several columns, each centred, with an intercept. */
export interface MultipleRegression {
  readonly lots: number;
  /** lots − columns − 1. */
  readonly degrees: number;
  readonly meanOfResult: number;
  readonly slopes: readonly number[];
  readonly standardErrors: readonly number[];
  readonly residualSd: number;
  readonly sumOfSquares: number;
  readonly residuals: readonly number[];
}

/**
 * Ordinary least squares of y on columns and an intercept, by orthogonal triangles of the centred columns.
 *
 * @param columns  one list a factor, each as long as y
 * @returns null where the columns are not independent of each other, or no degree of freedom is left
 * @throws  DomainError  a column of another length than y
 * Accuracy: ≥ 7 digits on the linear problems of NIST StRD (tests). Source: textbook least squares.
 */
export function regressionOn(
  columns: readonly (readonly number[])[],
  y: readonly number[],
): MultipleRegression | null {
  const odd = columns.find((column) => column.length !== y.length);
  if (odd !== undefined)
    throw new DomainError("column", "must have as many values as the result", odd.length);
  const lots = y.length;
  const degrees = lots - columns.length - 1;
  if (degrees < 1) return null;
  const meanOfResult = mean([...y]);
  const centredY = centredOn(y);
  const centred = columns.map(centredOn);
  const lengths = centred.map((column) => Math.sqrt(dot(column, column)));
  if (lengths.some((length) => length === 0)) return null;
  const unit = zipped(centred, lengths, (column, length) => column.map((v) => v / length));
  const { triangle, turned } = triangles(unit, centredY);
  if (unit.length > 0 && !isFullRank(triangle)) return null;
  const scaled = solveTriangle(triangle, turned);
  const residuals = unit.reduce(
    (left, column, j) => left.map((v, i) => v - valueAt(column, i) * valueAt(scaled, j)),
    centredY,
  );
  const sumOfSquares = dot(residuals, residuals);
  const residualSd = Math.sqrt(sumOfSquares / degrees);
  const variances = inverseOfSquare(triangle).map((row, j) => valueAt(row, j));
  return {
    lots,
    degrees,
    meanOfResult,
    slopes: zipped([...scaled], lengths, (slope, length) => slope / length),
    standardErrors: zipped(variances, lengths, (v, length) => (residualSd * Math.sqrt(v)) / length),
    residualSd,
    sumOfSquares,
    residuals: [...residuals],
  };
}

/** Pearson's correlation; 0 where one of both does not vary. */
export function correlationOf(a: readonly number[], b: readonly number[]): number {
  const r = sampleCorrelation([...a], [...b]);
  return Number.isFinite(r) ? r : 0;
}

function centredOn(values: readonly number[]): Float64Array {
  const middle = mean([...values]);
  return Float64Array.from(values, (v) => v - middle);
}

function zipped<A, B, C>(as: readonly A[], bs: readonly B[], join: (a: A, b: B) => C): C[] {
  return as.flatMap((a, i) => {
    const b = bs[i];
    return b === undefined ? [] : [join(a, b)];
  });
}

function valueAt(list: ArrayLike<number>, i: number): number {
  const value = list[i];
  if (value === undefined) throw new DomainError("place", `must lie below ${list.length}`, i);
  return value;
}
