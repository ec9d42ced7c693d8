import { DomainError } from "./domainError.ts";
import { itemAt } from "./lists.ts";
import type { MeasurementMetadata } from "./measurementMetadata.ts";

/** What the shares count. Order r of ISO 9276-1: number 0, length 1, surface 2, volume 3. */
export type Quantity = "number" | "length" | "surface" | "volume";

export const quantityOrder: Readonly<Record<Quantity, number>> = {
  number: 0,
  length: 1,
  surface: 2,
  volume: 3,
};

export const quantities: readonly Quantity[] = ["number", "length", "surface", "volume"];

/**
 * How powder is thought to lie inside a class, for means, area and a change of quantity.
 * log-uniform is the default; the others exist to reproduce published tables.
 */
export type InClass = "log-uniform" | "uniform" | "geometric-mid" | "arithmetic-mid" | "upper-edge";

export const inClassRules: readonly InClass[] = [
  "log-uniform",
  "uniform",
  "geometric-mid",
  "arithmetic-mid",
  "upper-edge",
];

/**
 * A size distribution as measured: N classes in rising order and the shares outside them.
 * `belowShare + Σ shares + aboveShare = 1`. Source: ISO 9276-1 (classes, undersize, quantity type).
 */
export interface SizeDistribution {
  /** What `shares` count now. */
  readonly quantity: Quantity;
  /** What was counted when it was measured; differs from `quantity` after a conversion. */
  readonly measuredAs: Quantity;
  readonly inClass: InClass;
  readonly lowerUm: readonly number[];
  readonly upperUm: readonly number[];
  /** Fractions of the whole, one a class. */
  readonly shares: readonly number[];
  /** Share finer than the first class; its sizes are unknown. */
  readonly belowShare: number;
  /** Share coarser than the last class; its sizes are unknown. */
  readonly aboveShare: number;
}

/** A measurement with the name it goes by and the file it came from. */
export interface NamedMeasurement {
  readonly file: string | null;
  readonly name: string;
  readonly distribution: SizeDistribution;
  /** How it was made; absent where nothing is stated. */
  readonly howMeasured?: MeasurementMetadata;
}

/** Means and conversions are refused when more than this share of the whole lies outside the classes. */
export const unseenLimit = 0.0005;

const sumTolerance = 1e-9;
const gapLimit = 0.05;

/**
 * Checks that the numbers make a distribution and freezes them.
 *
 * @throws DomainError  lengths differ, a size is not positive, an edge falls, a share is negative,
 *                      the whole is not 1 within 1e-9, or neighbours gap or overlap by more than 5 % of the narrower
 */
export function sizeDistribution(input: {
  quantity: Quantity;
  measuredAs?: Quantity;
  inClass?: InClass;
  lowerUm: readonly number[];
  upperUm: readonly number[];
  shares: readonly number[];
  belowShare?: number;
  aboveShare?: number;
}): SizeDistribution {
  const { quantity, measuredAs = quantity, inClass = "log-uniform", belowShare = 0, aboveShare = 0 } = input;
  const { lowerUm, upperUm, shares } = input;
  const n = shares.length;
  if (n === 0) throw new DomainError("shares", "must hold at least one class", n);
  if (lowerUm.length !== n || upperUm.length !== n) {
    throw new DomainError("edges", `must match the ${n} shares`, `${lowerUm.length} and ${upperUm.length}`);
  }
  let sum = belowShare + aboveShare;
  let [lowerBefore, upperBefore] = [0, 0];
  for (let i = 0; i < n; i++) {
    const lower = itemAt(lowerUm, i);
    const upper = itemAt(upperUm, i);
    const share = itemAt(shares, i);
    if (!(lower > 0 && Number.isFinite(upper)))
      throw new DomainError("sizeUm", "must be positive and finite", lower > 0 ? upper : lower);
    if (!(upper > lower)) throw new DomainError("upperUm", `must exceed the lower edge ${lower}`, upper);
    if (!(share >= 0 && Number.isFinite(share)))
      throw new DomainError("share", "must be zero or more", share);
    if (i > 0) {
      if (!(lower > lowerBefore && upper > upperBefore)) {
        throw new DomainError(
          "lowerUm",
          `must rise from class to class; the class before starts at ${lowerBefore}`,
          lower,
        );
      }
      const narrower = Math.min(upper - lower, upperBefore - lowerBefore);
      if (Math.abs(lower - upperBefore) > gapLimit * narrower) {
        throw new DomainError("lowerUm", `must meet the class before, which ends at ${upperBefore}`, lower);
      }
    }
    lowerBefore = lower;
    upperBefore = upper;
    sum += share;
  }
  if (!(belowShare >= 0)) throw new DomainError("belowShare", "must be zero or more", belowShare);
  if (!(aboveShare >= 0)) throw new DomainError("aboveShare", "must be zero or more", aboveShare);
  if (!(Math.abs(sum - 1) <= sumTolerance)) throw new DomainError("shares", "must add to 1", sum);
  return Object.freeze({
    quantity,
    measuredAs,
    inClass,
    lowerUm: frozen(lowerUm),
    upperUm: frozen(upperUm),
    shares: frozen(shares),
    belowShare,
    aboveShare,
  });
}

/**
 * Other shares in the classes of a distribution, whose edges are not checked again; what lies outside them stays.
 *
 * @throws DomainError  lengths differ, a share is negative, or the whole is not 1 within 1e-9
 */
export function withShares(m: SizeDistribution, shares: readonly number[]): SizeDistribution {
  if (shares.length !== m.shares.length)
    throw new DomainError("shares", `must be ${m.shares.length}, one a class`, shares.length);
  let sum = m.belowShare + m.aboveShare;
  for (const share of shares) {
    if (!(share >= 0 && Number.isFinite(share)))
      throw new DomainError("share", "must be zero or more", share);
    sum += share;
  }
  if (!(Math.abs(sum - 1) <= sumTolerance)) throw new DomainError("shares", "must add to 1", sum);
  return Object.freeze({ ...m, shares: frozen(shares) });
}

/** A list that nobody can change: itself where it is one, so that the measurements of a table share their edges. */
function frozen(list: readonly number[]): readonly number[] {
  return Object.isFrozen(list) ? list : Object.freeze([...list]);
}

/** One class of a distribution and the fraction of the whole in it. */
export interface SizeClass {
  readonly lowerUm: number;
  readonly upperUm: number;
  readonly share: number;
}

/** The classes in rising order. @throws RangeError  fewer edges than shares */
export function classesOf({
  lowerUm,
  upperUm,
  shares,
}: Pick<SizeDistribution, "lowerUm" | "upperUm" | "shares">): readonly SizeClass[] {
  return shares.map((share, i) => ({ lowerUm: itemAt(lowerUm, i), upperUm: itemAt(upperUm, i), share }));
}

/** How much of the whole lies outside the classes. */
export function unseenShare(m: SizeDistribution): number {
  return m.belowShare + m.aboveShare;
}

/** The step in order between the quantity now and the quantity measured: k in docs/science.md. */
export function orderShift(m: SizeDistribution): number {
  return quantityOrder[m.quantity] - quantityOrder[m.measuredAs];
}
