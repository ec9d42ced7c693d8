import erfc from "@stdlib/math-base-special-erfc";
import type { StandardForm } from "./family.ts";

/** The standard normal curve. Accuracy: tails through erfc, so tiny shares on either side keep their digits. */
export const normalForm: StandardForm = {
  undersize: (u) => 0.5 * erfc(-u * Math.SQRT1_2),
  slope: (u) => Math.exp(-0.5 * u * u) / Math.sqrt(2 * Math.PI),
  curvature: (u) => (-u * Math.exp(-0.5 * u * u)) / Math.sqrt(2 * Math.PI),
};
