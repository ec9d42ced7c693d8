import { normalDeviate } from "#distributions/families/normalDeviate.ts";
import { normalForm } from "#distributions/families/normalForm.ts";

/**
 * The chance that a standard normal value is at most z.
 * Domain: z above −37.5. Accuracy: 1e-14 of itself for z ≥ −8.5, 1e-13 beyond, where z²ε is more (40-digit references).
 */
export function normalCdf(z: number): number {
  return normalForm.undersize(z);
}

/**
 * The standard normal value that a chance p lies below.
 * Domain: 0 < p < 1. Accuracy: 1e-14 for p ≥ 1e-20, 1e-13 down to 1e-300 (40-digit references).
 */
export function normalQuantile(p: number): number {
  return normalDeviate(p);
}
