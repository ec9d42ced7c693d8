import { DomainError } from "#distributions/domainError.ts";

/** Shapes of fragments that one exponent settles. */
export type OneExponent = "power" | "broadbent-callcott";

/**
 * Share of the fragments of a piece that is finer than z times its size.
 * power: z^exponent. austin: share·z^exponentFine + (1 − share)·z^exponentCoarse.
 * broadbent-callcott: (1 − exp(−z^exponent))/(1 − exp(−1)), in their paper with the exponent 1.
 */
export type Fragments =
  | { readonly kind: OneExponent; readonly exponent: number }
  | {
      readonly kind: "austin";
      readonly share: number;
      readonly exponentFine: number;
      readonly exponentCoarse: number;
    };

/** How fast each size breaks: rate at 1 µm times size to an exponent, in 1/s with sizes in µm; nothing breaks below the limit. */
export interface BreakageRate {
  readonly at1UmPerS: number;
  readonly exponent: number;
  /** Pieces at or below this no longer break; 0 for none. */
  readonly grindingLimitUm: number;
}

/**
 * The share of the pieces of a broken grain that is finer than z of its size, 0 … 1; 1 from z = 1 on.
 *
 * @throws DomainError  an exponent that is not above zero, a share outside 0 … 1
 * Source: docs/science.md (breakage function B); S. R. Broadbent and T. G. Callcott, A matrix analysis of processes
 * involving particle assemblies, Phil. Trans. R. Soc. A 249 (1956) 99, from memory.
 */
export function fragmentsBelow(fragments: Fragments): (z: number) => number {
  if (fragments.kind === "austin") {
    const { share, exponentFine, exponentCoarse } = fragments;
    mustBePositive("exponentFine", exponentFine);
    mustBePositive("exponentCoarse", exponentCoarse);
    if (!(share >= 0 && share <= 1)) throw new DomainError("share", "must lie in 0 … 1", share);
    return (z) => (z >= 1 ? 1 : share * z ** exponentFine + (1 - share) * z ** exponentCoarse);
  }
  const { exponent } = fragments;
  mustBePositive("exponent of the fragments", exponent);
  if (fragments.kind === "power") return (z) => (z >= 1 ? 1 : z ** exponent);
  const whole = Math.expm1(-1);
  return (z) => (z >= 1 ? 1 : Math.expm1(-(z ** exponent)) / whole);
}

/** Fragments as a sum of powers of z; null where they are none. */
export function asPowers(
  fragments: Fragments,
): readonly { readonly share: number; readonly exponent: number }[] | null {
  if (fragments.kind === "power") return [{ share: 1, exponent: fragments.exponent }];
  if (fragments.kind !== "austin") return null;
  const { share, exponentFine, exponentCoarse } = fragments;
  return [
    { share, exponent: exponentFine },
    { share: 1 - share, exponent: exponentCoarse },
  ];
}

/**
 * The part of the grains of a size that breaks in a second, k·x^α; 0 at or below the grinding limit.
 *
 * @throws DomainError  a negative rate, an exponent that is not finite
 * Source: docs/science.md (selection function S).
 */
export function breakingPerS({
  at1UmPerS,
  exponent,
  grindingLimitUm,
}: BreakageRate): (sizeUm: number) => number {
  if (!(at1UmPerS >= 0 && Number.isFinite(at1UmPerS)))
    throw new DomainError("rateAt1UmPerS", "must be zero or more", at1UmPerS);
  if (!Number.isFinite(exponent)) throw new DomainError("rateExponent", "must be finite", exponent);
  return (x) => (x > grindingLimitUm ? at1UmPerS * x ** exponent : 0);
}

function mustBePositive(name: string, value: number): void {
  if (!(value > 0 && Number.isFinite(value))) throw new DomainError(name, "must be above zero", value);
}
