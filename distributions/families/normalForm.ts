import erfc from "@stdlib/math-base-special-erfc";
import type { StandardForm } from "./family.ts";

/**
 * The standard normal curve.
 * Domain: u above −37.5. Accuracy: 1e-14 of itself for u ≥ −8.5, 1e-13 beyond, where u²ε is more (40-digit references): tails
 * through erfc, so tiny shares on either side keep their digits.
 */
export const normalForm: StandardForm = {
  undersize: (u) => 0.5 * erfc(-u * Math.SQRT1_2),
  slope: (u) => Math.exp(-0.5 * u * u) / Math.sqrt(2 * Math.PI),
  curvature: (u) => (-u * Math.exp(-0.5 * u * u)) / Math.sqrt(2 * Math.PI),
};
