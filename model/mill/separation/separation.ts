import { bisected } from "#distributions/bisection.ts";
import { DomainError } from "#distributions/domainError.ts";
import { normalForm } from "#distributions/families/normalForm.ts";

export type SeparationKind = "ideal" | "log-logistic" | "plitt" | "log-normal" | "whiten";

export const separationKinds: readonly SeparationKind[] = [
  "ideal",
  "log-logistic",
  "plitt",
  "log-normal",
  "whiten",
];

/** How a wheel parts sizes: cut size and sharpness of the curve itself, then a bypass and a leak over it. */
export interface Separation {
  readonly kind: SeparationKind;
  /** Half of this size is thrown back. */
  readonly cutUm: number;
  /** x25/x75 of the curve, between 0 and 1; whiten only above 1/9; an ideal wheel does not read it. */
  readonly sharpness: number;
  /** Share thrown back whatever its size. */
  readonly bypassShare: number;
  /** Share that passes whatever its size. */
  readonly leakShare: number;
}

/**
 * The steepness that gives a sharpness κ: q of the log-logistic curve, m of Plitt's, s of the log-normal, a of Whiten's.
 *
 * @throws DomainError  κ outside 0 … 1, or not above 1/9 for whiten
 * Source: docs/science.md, each solved from T(x25) = 1/4 and T(x75) = 3/4. Accuracy: exact; whiten 1e-12 by bisection.
 */
export function steepness(kind: Exclude<SeparationKind, "ideal">, sharpness: number): number {
  const least = kind === "whiten" ? 1 / 9 : 0;
  if (!(sharpness > least && sharpness < 1))
    throw new DomainError("sharpness", `must lie between ${kind === "whiten" ? "1/9" : 0} and 1`, sharpness);
  const h = -Math.log(sharpness);
  switch (kind) {
    case "log-logistic":
      return Math.log(9) / h;
    case "plitt":
      return Math.log(Math.log(4) / Math.log(4 / 3)) / h;
    case "log-normal":
      return h / 1.3489795003921634;
    case "whiten":
      return whitenSteepness(sharpness);
  }
}

/** κ of Whiten's curve: ln((e^a + 2)/3) / ln(3e^a − 2), rising from 1/9 at a = 0 to 1. */
export function whitenSharpness(a: number): number {
  // e^a − 1 carries what is left at small a.
  const grown = Math.expm1(a);
  return a > 300 ? (a - Math.log(3)) / (a + Math.log(3)) : Math.log1p(grown / 3) / Math.log1p(3 * grown);
}

function whitenSteepness(sharpness: number): number {
  let high = 1;
  while (whitenSharpness(high) < sharpness) high *= 2;
  return bisected(0, high, 1e-13 * high, (a) => whitenSharpness(a) < sharpness);
}

/**
 * Share that passes the wheel, 1 − T″, by ln(x / cut): bypass and leak counted. Worked out as it stands, not as a
 * difference from 1, so that it stays right far above the cut.
 *
 * @throws DomainError  a share outside 0 … 1, a cut that is not above zero
 * Source: ISO 9276-4 (grade efficiency T, to the coarse stream); docs/science.md.
 */
export function passingByLn(separation: Separation): (lnOverCut: number) => number {
  const { bypassShare, leakShare } = separation;
  mustBePossible(separation);
  const plain = plainPassing(separation);
  const whole = 1 - bypassShare;
  return (u) => Math.max(whole * plain(u), leakShare);
}

/** What passes as a function of a power of x / cut: of the log-logistic curve in the numbers that make it, of Plitt's as a function. */
type PassingByPower =
  | {
      readonly kind: "log-logistic";
      readonly steepness: number;
      readonly whole: number;
      readonly least: number;
    }
  | { readonly kind: "plitt"; readonly steepness: number; readonly of: (power: number) => number };

/**
 * The same where it is a function of (x / cut)^steepness alone, as log-logistic and Plitt's curve are; null for the others.
 *
 * @throws DomainError  as `passingByLn`
 */
export function passingByPower(separation: Separation): PassingByPower | null {
  const { kind, sharpness, bypassShare, leakShare } = separation;
  if (kind !== "log-logistic" && kind !== "plitt") return null;
  mustBePossible(separation);
  const whole = 1 - bypassShare;
  const steep = steepness(kind, sharpness);
  return kind === "log-logistic"
    ? { kind, steepness: steep, whole, least: leakShare }
    : { kind, steepness: steep, of: (power) => Math.max(whole * Math.exp(-Math.LN2 * power), leakShare) };
}

/** The same by size. */
export function passing(separation: Separation): (sizeUm: number) => number {
  const pass = passingByLn(separation);
  return (sizeUm) => pass(Math.log(sizeUm / separation.cutUm));
}

/** Share of the finest sizes that passes: all of them but for the bypass. */
export function passingOfFinest({ bypassShare, leakShare }: Separation): number {
  return Math.max(1 - bypassShare, leakShare);
}

function plainPassing({ kind, sharpness }: Separation): (u: number) => number {
  if (kind === "ideal") return (u) => (u > 0 ? 0 : 1);
  const s = steepness(kind, sharpness);
  switch (kind) {
    case "log-logistic":
      return (u) => 1 / (1 + Math.exp(s * u));
    case "plitt":
      return (u) => Math.exp(-Math.LN2 * Math.exp(s * u));
    case "log-normal":
      return (u) => normalForm.undersize(-u / s);
    case "whiten":
      // (e^a − 1)/(e^(az) + e^a − 2), its terms divided by e^a so that none overflows.
      return (u) => -Math.expm1(-s) / (Math.exp(s * Math.expm1(u)) + 1 - 2 * Math.exp(-s));
  }
}

function mustBePossible({ cutUm, bypassShare, leakShare }: Separation): void {
  mustBeShare("bypassShare", bypassShare);
  mustBeShare("leakShare", leakShare);
  if (!(cutUm > 0)) throw new DomainError("cutUm", "must be above zero", cutUm);
}

function mustBeShare(name: string, value: number): void {
  if (!(value >= 0 && value <= 1)) throw new DomainError(name, "must lie in 0 … 1", value);
}
